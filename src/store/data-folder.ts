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
  let lock: SqliteDatabase.Database | undefined
  try {
    mkdirSync(folder, { recursive: true, mode: 0o700 })
    lock = new SqliteDatabase(join(folder, 'lock.sqlite'), { timeout: 0 })
    lock.exec('begin exclusive')
    const held = lock
    return { release: () => held.close() }
  } catch (error) {
    lock?.close()
    const { code, message } = error as { code?: string; message: string }
    if (code === 'SQLITE_BUSY') {
      throw new LastmetreError('data-in-use', `The data folder ${folder} is in use by another Lastmetre.`)
    }
    throw new LastmetreError('store-failed', `The data folder ${folder} cannot be used: ${message}.`)
  }
}
