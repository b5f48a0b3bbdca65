import { existsSync } from 'node:fs'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { Kysely, SqliteDialect } from 'kysely'
import { LastmetreError } from '../quantity/errors.ts'
import { databaseUrl, type OpenedStore, openStore } from './open-store.ts'
import { DATABASE_FILE } from './sqlite.ts'
import type { Tables } from './tables.ts'

/**
 * Opens a database to look at, beside a server that may be using it: nothing is locked, brought up to date or written.
 * A PostgreSQL database is opened as always. Throws 'store-failed' where there is none, or where it is of another version.
 */
export async function openReader(dataFolder: string, url = databaseUrl()): Promise<OpenedStore> {
  if (url !== null) return openStore(dataFolder, url)
  return openFile(join(dataFolder, DATABASE_FILE))
}

/** As openReader, of a file by its name. */
export async function openFile(file: string): Promise<OpenedStore> {
  if (!existsSync(file)) throw new LastmetreError('store-failed', `There is no database ${file}.`)
  const database = new SqliteDatabase(file, { readonly: true })
  const db = new Kysely<Tables>({ dialect: new SqliteDialect({ database }) })
  try {
    await db.selectFrom('ledger_head').select('seq').execute()
  } catch (error) {
    await db.destroy()
    const why = (error as Error).message
    throw new LastmetreError('store-failed', `The database ${file} holds no ledger that can be read: ${why}.`)
  }
  return { db, databaseUrl: null, close: () => db.destroy() }
}
