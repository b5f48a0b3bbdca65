import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { type DatabaseConnection, type Driver, SqliteDialect, SqliteDriver } from 'kysely'
import type { StoreDialect } from './dialect.ts'

/** Name of the database file within the data folder. */
export const DATABASE_FILE = 'lastmetre.sqlite'

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
    dialect: new RolledBackDialect({ database }),
    wholeType: 'integer',
    doubleType: 'real',
    bytesType: 'blob',
    // Without STRICT, SQLite takes 1.5 or 'abc' into an integer column.
    tableSuffix: 'strict',
    isShared: false,
  }
}

/**
 * Where the disk is full or fails, SQLite has rolled the transaction back itself (https://sqlite.org/lang_transaction.html
 * §3); asked again it refuses, and that refusal would hide why.
 */
class RolledBackDialect extends SqliteDialect {
  readonly #database: SqliteDatabase.Database

  constructor({ database }: { database: SqliteDatabase.Database }) {
    super({ database })
    this.#database = database
  }

  override createDriver(): Driver {
    return new RolledBackDriver(this.#database)
  }
}

class RolledBackDriver extends SqliteDriver {
  readonly #database: SqliteDatabase.Database

  constructor(database: SqliteDatabase.Database) {
    super({ database })
    this.#database = database
  }

  override async rollbackTransaction(connection: DatabaseConnection): Promise<void> {
    if (this.#database.inTransaction) await super.rollbackTransaction(connection)
  }
}
