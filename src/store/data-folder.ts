import { mkdirSync } from 'node:fs'
import { join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { LastmetreError } from '../quantity/errors.ts'

/** Keeps the data folder to one process until it is released or the process ends. */
export interface FolderLock {
  release(): void
}

/**
 * The lock is an exclusive transaction on a database of its own: the operating system drops it with the
 * process, so a killed server leaves nothing behind that has to be cleared by hand.
 */
export function lockDataFolder(folder: string): FolderLock {
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
  } catch (error) {
    throw new LastmetreError('store-failed', `The data folder cannot be made: ${(error as Error).message}.`)
  }
  const lock = new SqliteDatabase(join(folder, 'lock.sqlite'), { timeout: 0 })
  try {
    lock.exec('begin exclusive')
  } catch (error) {
    lock.close()
    const { code } = error as { code?: string }
    if (code === 'SQLITE_BUSY') {
      throw new LastmetreError('data-in-use', `The data folder ${folder} is in use by another Lastmetre.`)
    }
    throw new LastmetreError('store-failed', `The data folder cannot be locked: ${(error as Error).message}.`)
  }
  return { release: () => lock.close() }
}
