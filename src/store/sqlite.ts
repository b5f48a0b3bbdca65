import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { SqliteDialect } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** Name of the database file within the data folder. */
const DATABASE_FILE = 'lastmetre.sqlite'

/**
 * SQLite in the data folder. What is acknowledged is on disk: this build of the library falls back to
 * synchronous NORMAL in WAL mode, so FULL is set by hand after the journal mode.
 */
export function sqliteDialect(dataFolder: string): StoreDialect {
  const database = new SqliteDatabase(join(dataFolder, DATABASE_FILE))
  try {
    database.pragma('journal_mode = WAL')
    database.pragma('synchronous = FULL')
    database.pragma('foreign_keys = ON')
  } catch (error) {
    database.close()
    throw error
  }
  return {
    dialect: new SqliteDialect({ database }),
    bytesType: 'blob',
    // Without STRICT, SQLite takes 1.5 or 'abc' into an integer column.
    tableSuffix: 'strict',
  }
}
