import { Kysely } from 'kysely'
import { LastmetreError } from '../quantity/errors.ts'
import { lockDataFolder } from './data-folder.ts'
import type { Store } from './dialect.ts'
import { migrate } from './migrations.ts'
import { markInterrupted } from './plans.ts'
import { sqliteDialect } from './sqlite.ts'
import type { Tables } from './tables.ts'

export interface OpenedStore {
  db: Store
  close(): Promise<void>
}

/**
 * Opens the database of a data folder for this process alone, brings it up to date, and marks a plan that
 * was being made when the last process ended.
 */
export async function openStore(dataFolder: string): Promise<OpenedStore> {
  const lock = lockDataFolder(dataFolder)
  let db: Store | undefined
  try {
    const dialect = sqliteDialect(dataFolder)
    db = new Kysely<Tables>({ dialect: dialect.dialect })
    await migrate(db, dialect)
    await db.transaction().execute(markInterrupted)
  } catch (error) {
    await db?.destroy()
    lock.release()
    if (error instanceof LastmetreError) throw error
    throw new LastmetreError('store-failed', `The database cannot be opened: ${(error as Error).message}.`)
  }
  const opened = db
  return {
    db: opened,
    async close() {
      await opened.destroy()
      lock.release()
    },
  }
}
