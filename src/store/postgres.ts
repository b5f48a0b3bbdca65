import { PostgresDialect } from 'kysely'
import type { types } from 'pg'
import { LastmetreError } from '../quantity/errors.ts'
import type { StoreDialect } from './dialect.ts'

/** Connections of one process; the ledger needs one at a time. */
const MAX_CONNECTIONS = 8
/** How long a connection may take to come about. */
const CONNECT_MS = 10_000
/**
 * A transaction that its process says nothing more in for so long is rolled back, and what it locked is free: the process may be
 * cut off, or stand still, without the connection being closed. Ours ask one thing after the other.
 */
const IDLE_IN_TRANSACTION_MS = 15_000

/** Numbers of types in PostgreSQL's catalogue (pg_type.oid): int8, and numeric, which sums of int8 are. */
const WHOLE_TYPES: ReadonlySet<number> = new Set([20, 1700])

/** A server of its own that several processes may share. What is acknowledged is on its disk, unless its fsync is off. */
export async function postgresDialect(url: string): Promise<StoreDialect> {
  // Loaded only where there is one.
  const { default: pg } = await import('pg')
  const pool = new pg.Pool({
    connectionString: url,
    max: MAX_CONNECTIONS,
    connectionTimeoutMillis: CONNECT_MS,
    idle_in_transaction_session_timeout: IDLE_IN_TRANSACTION_MS,
    types: {
      getTypeParser: ((oid: number, format?: 'text' | 'binary') =>
        WHOLE_TYPES.has(oid)
          ? wholeNumber
          : pg.types.getTypeParser(oid, format as 'text')) as typeof types.getTypeParser,
    },
  })
  // A connection that breaks while nobody uses it is made anew by the pool; unheard, the event ends the process.
  pool.on('error', () => undefined)
  // Nor may one that breaks between two queries of a transaction end it: the next query fails and says so.
  pool.on('connect', (client) => client.on('error', () => undefined))
  return {
    dialect: new PostgresDialect({ pool }),
    wholeType: 'bigint',
    doubleType: 'double precision',
    bytesType: 'bytea',
    tableSuffix: '',
    isShared: true,
  }
}

/** Whole numbers come as text; beyond 2^53 a number would not be what is stored. */
function wholeNumber(text: string): number {
  const value = Number(text)
  if (Number.isInteger(value) && !Number.isSafeInteger(value)) {
    throw new LastmetreError('store-failed', `The database holds ${text}, more than a whole number may be.`)
  }
  return value
}
