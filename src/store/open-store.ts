import { Kysely } from 'kysely'
import { LastmetreError } from '../quantity/errors.ts'
import { type FolderLock, lockDataFolder } from './data-folder.ts'
import type { Store, StoreDialect } from './dialect.ts'
import { migrate } from './migrations.ts'
import { markInterrupted } from './plans.ts'
import { postgresDialect } from './postgres.ts'
import { sqliteDialect } from './sqlite.ts'
import type { Tables } from './tables.ts'

export interface OpenedStore {
  db: Store
  /** Address of the PostgreSQL server that it is on; null where it is the file in the data folder. */
  databaseUrl: string | null
  close(): Promise<void>
}

/** Address of a PostgreSQL database that takes the place of the file in the data folder; null where none is set. */
export function databaseUrl(): string | null {
  return process.env.DATABASE_URL || null
}

/**
 * Opens the database of a data folder for this process alone, or the PostgreSQL database at `url`, which several processes
 * may share; brings it up to date; and marks a plan that was being made when the last process of a data folder ended.
 */
export async function openStore(dataFolder: string, url = databaseUrl()): Promise<OpenedStore> {
  const lock: FolderLock = url === null ? lockDataFolder(dataFolder) : { release: () => undefined }
  let db: Store | undefined
  try {
    const dialect: StoreDialect = url === null ? sqliteDialect(dataFolder) : await postgresDialect(url)
    db = new Kysely<Tables>({ dialect: dialect.dialect })
    await migrate(db, dialect)
    // Several processes plan on one PostgreSQL: there the queue says what was cut off.
    if (url === null) await db.transaction().execute(markInterrupted)
  } catch (error) {
    await db?.destroy()
    lock.release()
    if (error instanceof LastmetreError) throw error
    throw new LastmetreError('store-failed', `The database cannot be opened: ${(error as Error).message}.`)
  }
  const opened = db
  return {
    db: opened,
    databaseUrl: url,
    async close() {
      await opened.destroy()
      lock.release()
    },
  }
}
