import { existsSync } from 'node:fs'
import { copyFile, mkdir, open, rename, rm } from 'node:fs/promises'
import { dirname, join } from 'node:path'
import SqliteDatabase from 'better-sqlite3'
import { LastmetreError } from '../quantity/errors.ts'
import { copyStore, refuseFull } from './copy-store.ts'
import { lockDataFolder } from './data-folder.ts'
import { type LedgerReport, verifyLedger } from './ledger-verify.ts'
import { openFile } from './open-reader.ts'
import { databaseUrl, type OpenedStore, openStore } from './open-store.ts'
import { DATABASE_FILE } from './sqlite.ts'

/** Pages that are copied before the process looks around. */
const PAGES_AT_ONCE = 4_096

/**
 * Writes one moment of the database into a file, beside a server that goes on, and verifies what was written. The file
 * is a database of the embedded kind, wherever the original lies; it appears under its name once it is whole.
 * Throws 'out-refused' where the file is there already, 'store-failed' where there is nothing to back up or no room.
 */
export async function backUp(dataFolder: string, file: string, url = databaseUrl()): Promise<LedgerReport> {
  if (existsSync(file)) throw new LastmetreError('out-refused', `${file} is there already.`)
  return inPartFolder(`${file}.part`, async (part) => {
    const made = join(part, DATABASE_FILE)
    if (url === null) await copyOpenFile(join(dataFolder, DATABASE_FILE), made)
    else await withStore(openStore(dataFolder, url), (from) => copyIntoFolder(from, part))
    const report = await withStore(openFile(made), ({ db }) => verifyLedger(db))
    await putInPlace(made, file)
    return report
  })
}

/**
 * Puts a backup into a data folder without a database, or into an empty PostgreSQL database, brings it up to date, and
 * verifies it before it takes its place. Throws 'out-refused' where there are records already, 'ledger-broken' where the
 * backup does not verify, 'store-failed' where it cannot be read or there is no room.
 */
export async function restore(file: string, dataFolder: string, url = databaseUrl()): Promise<LedgerReport> {
  if (!existsSync(file)) throw new LastmetreError('store-failed', `There is no backup ${file}.`)
  const target = join(dataFolder, DATABASE_FILE)
  const lock = lockDataFolder(dataFolder)
  try {
    if (url === null && existsSync(target)) {
      throw new LastmetreError('out-refused', `${dataFolder} holds a database already; nothing was restored.`)
    }
    return await inPartFolder(join(dataFolder, 'restore.part'), async (part) => {
      await copyFile(file, join(part, DATABASE_FILE))
      const report = await withStore(openStore(part, null), async (from) => {
        const found = await sound(from)
        if (url === null) return found
        return withStore(openStore(dataFolder, url), async (to) => {
          await refuseFull(to.db)
          await copyStore(from, to.db)
          return sound(to)
        })
      })
      if (url === null) await putInPlace(join(part, DATABASE_FILE), target)
      return report
    })
  } finally {
    lock.release()
  }
}

async function sound({ db }: OpenedStore): Promise<LedgerReport> {
  const report = await verifyLedger(db)
  const [first] = report.problems
  if (first === undefined) return report
  throw new LastmetreError('ledger-broken', `The backup does not verify, nothing was restored: ${first}`)
}

/** SQLite's own online backup; an open reading transaction keeps it to one moment, however much is written meanwhile. */
async function copyOpenFile(from: string, to: string): Promise<void> {
  if (!existsSync(from)) throw new LastmetreError('store-failed', `There is no database ${from}.`)
  const source = new SqliteDatabase(from, { readonly: true })
  try {
    source.exec('begin')
    source.prepare('select count(*) from kysely_migration').get()
    await source.backup(to, { progress: () => PAGES_AT_ONCE })
    source.exec('rollback')
  } finally {
    source.close()
  }
  const copy = new SqliteDatabase(to)
  try {
    // One file that can be carried about, without the log beside it.
    copy.pragma('journal_mode = DELETE')
    const [{ integrity_check: state } = { integrity_check: 'nothing' }] = copy.pragma('integrity_check') as {
      integrity_check: string
    }[]
    if (state !== 'ok') throw new LastmetreError('store-failed', `The copy is not whole: ${state}.`)
  } finally {
    copy.close()
  }
}

async function copyIntoFolder(from: OpenedStore, folder: string): Promise<void> {
  await withStore(openStore(folder, null), ({ db }) => copyStore(from, db))
  const copy = new SqliteDatabase(join(folder, DATABASE_FILE))
  copy.pragma('journal_mode = DELETE')
  copy.close()
}

async function withStore<T>(
  opening: Promise<OpenedStore>,
  act: (store: OpenedStore) => Promise<T>,
): Promise<T> {
  const store = await opening
  try {
    return await act(store)
  } finally {
    await store.close()
  }
}

/** A folder to work in that is gone afterwards; what an earlier attempt left there goes first. */
async function inPartFolder<T>(part: string, act: (part: string) => Promise<T>): Promise<T> {
  await rm(part, { recursive: true, force: true })
  await mkdir(part, { recursive: true, mode: 0o700 })
  try {
    return await act(part)
  } finally {
    await rm(part, { recursive: true, force: true })
  }
}

/** Under its name only once it is on the disk. */
async function putInPlace(made: string, file: string): Promise<void> {
  for (const path of [made, null, dirname(file)]) {
    if (path === null) await rename(made, file)
    else {
      const handle = await open(path, 'r')
      await handle.sync()
      await handle.close()
    }
  }
}
