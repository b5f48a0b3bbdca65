import type { ConnectorPower } from '../lead/connector-power.ts'
import type { Instrument } from '../lead/instrument.ts'
import { type Columns, date, id, maybe, positive, ref, text } from './column.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { checkReferences, joined, uniqueRows } from './known-ids.ts'
import type { Notice, Problem } from './problem.ts'
import { ProblemList } from './problem-list.ts'
import { readTable, type Table } from './read-table.ts'
import type { Works } from './works.ts'

/** Optional files of `more/` on leads: power of connectors, instruments. As strict as the sixteen. */
export const MORE_LEAD_FILES = ['more/connector_power.csv', 'more/instruments.csv'] as const

type MoreLeadFile = (typeof MORE_LEAD_FILES)[number]

export const CONNECTOR_POWER_COLUMNS: Columns<ConnectorPower> = {
  part: ref('part', 'connectors.csv'),
  fMhz: positive('f_mhz'),
  powerMaxW: positive('power_max_w'),
}

export const INSTRUMENT_COLUMNS: Columns<Instrument> = {
  instrument: id('instrument'),
  what: maybe(text('what')),
  lossDb: positive('u_loss_db'),
  gamma: positive('u_gamma_ratio'),
  calibratedDate: maybe(date('calibrated_date')),
  dueDate: maybe(date('calibration_due_date')),
}

/** What stands in `more/` of leads; null for a file that is not there: not recorded. */
export interface MoreLead {
  connectorPower: ConnectorPower[] | null
  instruments: Instrument[] | null
}

export type MoreLeadResult =
  | { ok: true; more: MoreLead; notices: Notice[] }
  | { ok: false; problems: Problem[]; beyond: number }

/** Reads the optional files against a checked works; a breach refuses them all. */
export function parseMoreLead(files: ReadonlyMap<string, Uint8Array>, works: Works): MoreLeadResult {
  const problems = new ProblemList(MORE_LEAD_FILES)
  const notices: Notice[] = []
  const known = new Map([['connectors.csv', new Set(works.connectors.map(({ part }) => part))]])
  const table = <T>(file: MoreLeadFile, columns: Columns<T>): Table<T> | null => {
    const bytes = files.get(file)
    if (!bytes) return null
    const content = decodeText(bytes)
    if (typeof content !== 'string') {
      problems.add(file, content.row, null, content.wrong, content.right)
      return null
    }
    const read = readTable(file, readCsv(content), columns, true, problems, notices)
    checkReferences(read, columns, known, problems)
    return read
  }
  const power = table('more/connector_power.csv', CONNECTOR_POWER_COLUMNS)
  const instruments = table('more/instruments.csv', INSTRUMENT_COLUMNS)
  if (power)
    uniqueRows(power, 'f_mhz', 'frequency of a part', ({ part, fMhz }) => joined(part, fMhz), problems)
  if (instruments) uniqueRows(instruments, 'instrument', 'instrument', (row) => row.instrument, problems)
  if (problems.count > 0) {
    const listed = problems.listed()
    return { ok: false, problems: listed.problems, beyond: listed.more }
  }
  // nothing is missing from a record once no problem was found
  const whole = <T>(read: Table<T> | null) => read?.rows.map((r) => r.record as T) ?? null
  return { ok: true, notices, more: { connectorPower: whole(power), instruments: whole(instruments) } }
}
