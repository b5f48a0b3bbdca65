import { type Column, type Columns, choice, column, maybe, Refusal } from './column.ts'
import { decodeText } from './decode-text.ts'
import { uniqueRows } from './known-ids.ts'
import { address, type NetAddress } from './more-signals.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import { type ProblemList, shown } from './problem-list.ts'
import type { Table } from './read-table.ts'

const TABLE = 'more/brokers.csv'
const AUTHORITY = 'more/broker-authority.pem'

/** Optional files of `more/`: how to be let in by an MQTT broker. No secret is in them. As strict as the sixteen. */
export const MORE_BROKER_FILES = [TABLE, AUTHORITY] as const

/** A chain of a few certificates; more is no authority of a hall. */
const MAX_PEM_BYTES = 64 * 1024

/** How a broker of more/signals.csv is reached; one that is not named is reached plainly. A row of more/brokers.csv. */
export interface BrokerEntry {
  address: NetAddress
  /** 'machine': its certificate is vouched for by an authority that the server's machine trusts; 'hall': by the one of the works. */
  tls: 'no' | 'machine' | 'hall'
  user: string | null
  /** Name of the secret where the server runs; never the secret. */
  password: string | null
}

export interface MoreBrokers {
  brokers: BrokerEntry[]
  /** PEM of the hall's own authority; null where there is none. */
  authorityPem: string | null
}

export const BROKER_COLUMNS: Columns<BrokerEntry> = {
  address: address('address'),
  tls: choice('tls', 'no', 'machine', 'hall'),
  user: maybe(userName('user')),
  password: maybe(secretName('password')),
}

/** Reads the optional files; a breach refuses them. */
export function parseMoreBrokers(files: ReadonlyMap<string, Uint8Array>): MoreResult<MoreBrokers> {
  const tables = new MoreTables(files, MORE_BROKER_FILES, new Map())
  const table = tables.read(TABLE, BROKER_COLUMNS)
  const authorityPem = readAuthority(files.get(AUTHORITY), tables.problems)
  if (table) check(table, authorityPem !== null, tables.problems)
  return tables.result(() => ({ brokers: wholeRecords(table) ?? [], authorityPem }))
}

function check(table: Table<BrokerEntry>, hasAuthority: boolean, problems: ProblemList): void {
  const key = ({ address: at }: Partial<BrokerEntry>) => at && `${at.host}:${at.port}`
  uniqueRows(table, 'address', 'broker', key, problems)
  for (const { row, record } of table.rows) {
    if (record.tls === 'hall' && !hasAuthority)
      problems.add(TABLE, row, 'tls', `is hall, and there is no ${AUTHORITY}`, 'its certificate in that file')
    // MQTT 3.1.1, 3.1.2.9: no password without a user name
    if (record.password != null && record.user === null)
      problems.add(TABLE, row, 'user', 'is empty beside a password', 'the user that the password is of')
  }
}

const PEM = /^(?:\s*-----BEGIN CERTIFICATE-----\s+(?:[A-Za-z0-9+/=]{1,76}\s+)+-----END CERTIFICATE-----)+\s*$/

function readAuthority(bytes: Uint8Array | undefined, problems: ProblemList): string | null {
  if (bytes === undefined) return null
  const right = 'certificates only, each between BEGIN CERTIFICATE and END CERTIFICATE'
  const tell = (wrong: string) => {
    problems.add(AUTHORITY, null, null, wrong, right)
    return null
  }
  if (bytes.length > MAX_PEM_BYTES) return tell(`the file has more than ${MAX_PEM_BYTES} bytes`)
  const content = decodeText(bytes)
  if (typeof content !== 'string') return tell(content.wrong)
  if (content.includes('PRIVATE KEY')) return tell('the file holds a private key, which nobody may have')
  return PEM.test(content) ? content : tell('the file holds no certificate in PEM')
}

/** MQTT 3.1.1, 1.5.3: any text without control characters; bounded so that it can be shown. */
function userName(name: string): Column<string> {
  const right = 'up to 100 characters without blanks before or after'
  return column(name, right, (cell) =>
    cell.length <= 100 && cell.trim() === cell && !/[\p{Cc}\p{Cs}]/u.test(cell)
      ? cell
      : new Refusal(`${shown(cell)} is no user name`, right),
  )
}

function secretName(name: string): Column<string> {
  const right = 'the name of the secret where the server runs: capital letters, digits and _, up to 40'
  return column(name, right, (cell) =>
    // whoever writes the secret itself into the cell is not told it again
    /^[A-Z][A-Z0-9_]{0,39}$/.test(cell) ? cell : new Refusal('is no name of a secret', right),
  )
}
