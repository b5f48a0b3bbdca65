import { sql } from 'kysely'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from './dialect.ts'
import { inParts } from './in-parts.ts'
import type { OpenedStore } from './open-store.ts'

const ROWS_AT_ONCE = 1_000
/** Tables that others refer to go first. */
const FIRST = ['works_version', 'file_content', 'works_file', 'plan']
/** Names of the tables that say which migrations were made: each database keeps its own. */
const OWN = /^kysely_/

/**
 * Copies every row of one database into another one of the same version that holds nothing yet: one moment of the first,
 * in one transaction of the second. Answers the number of rows.
 */
export async function copyStore(from: OpenedStore, to: Store): Promise<number> {
  const tables = await tablesOf(to)
  let count = 0
  const copy = (reading: Store) =>
    to.transaction().execute(async (writing) => {
      await writing.deleteFrom('ledger_head').execute()
      for (const table of tables) {
        for await (const rows of from.databaseUrl === null
          ? streamed(reading, table)
          : fetched(reading, table)) {
          count += rows.length
          await insertRows(writing, table, rows)
        }
      }
    })
  await from.db.transaction().setIsolationLevel('repeatable read').execute(copy)
  return count
}

type Rows = Record<string, unknown>[]

async function* streamed(db: Store, table: string): AsyncGenerator<Rows> {
  let rows: Rows = []
  for await (const row of db
    .selectFrom(table as 'plan')
    .selectAll()
    .stream()) {
    rows.push(row as unknown as Record<string, unknown>)
    if (rows.length === ROWS_AT_ONCE) {
      yield rows
      rows = []
    }
  }
  if (rows.length > 0) yield rows
}

/** The driver of PostgreSQL takes a whole answer at once, so it is asked for in pages. */
async function* fetched(db: Store, table: string): AsyncGenerator<Rows> {
  await sql`declare page no scroll cursor for select * from ${sql.table(table)}`.execute(db)
  for (;;) {
    const { rows } = await sql<Rows[number]>`fetch ${sql.lit(ROWS_AT_ONCE)} from page`.execute(db)
    if (rows.length > 0) yield rows
    if (rows.length < ROWS_AT_ONCE) break
  }
  await sql`close page`.execute(db)
}

/** Throws 'out-refused' where a database holds a works or a ledger. */
export async function refuseFull(db: Store): Promise<void> {
  const works = await db.selectFrom('works_version').select('version').limit(1).execute()
  const events = await db.selectFrom('ledger_event').select('seq').limit(1).execute()
  const accounts = await db.selectFrom('account').select('account').limit(1).execute()
  if (works.length + events.length + accounts.length > 0) {
    throw new LastmetreError('out-refused', 'The database holds records already; nothing was restored.')
  }
}

async function insertRows(db: Store, name: string, rows: Rows): Promise<void> {
  const columns = Object.keys(rows[0] ?? {})
  const names = sql.join(columns.map((column) => sql.ref(column)))
  await inParts(rows, (part) => {
    const values = part.map((row) => sql`(${sql.join(columns.map((column) => row[column]))})`)
    return sql`insert into ${sql.table(name)} (${names}) values ${sql.join(values)}`.execute(db)
  })
}

async function tablesOf(db: Store): Promise<string[]> {
  const rank = (name: string) => (FIRST.includes(name) ? FIRST.indexOf(name) : FIRST.length)
  const tables = await db.introspection.getTables()
  return (
    tables
      // On PostgreSQL the queue of jobs has a schema of its own.
      .filter(({ name, schema = 'public' }) => schema === 'public' && !OWN.test(name))
      .map(({ name }) => name)
      .sort((a, b) => rank(a) - rank(b) || (a < b ? -1 : 1))
  )
}
