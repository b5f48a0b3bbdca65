import { resolve } from 'node:path'
import { LastmetreError } from '../quantity/errors.ts'
import { backUp, restore } from '../store/backup.ts'
import { type LedgerReport, verifyLedger } from '../store/ledger-verify.ts'
import { openReader } from '../store/open-reader.ts'
import { storeFailure } from '../store/store-failure.ts'
import { DEFAULT_DATA_FOLDER } from './project.ts'

export type { LedgerReport }

/**
 * What the command line does with a ledger, beside a server that may be running or instead of one. `dataFolder` null: the
 * usual one; DATABASE_URL names a PostgreSQL database that takes its place. Errors are those of store/backup.ts.
 */
export const ledgerKeeping = {
  async verify(dataFolder: string | null): Promise<LedgerReport> {
    const store = await openReader(folderOf(dataFolder))
    try {
      return await verifyLedger(store.db)
    } finally {
      await store.close()
    }
  },
  backUp: (dataFolder: string | null, file: string): Promise<LedgerReport> =>
    inWords(backUp(folderOf(dataFolder), resolve(file))),
  restore: (file: string, dataFolder: string | null): Promise<LedgerReport> =>
    inWords(restore(resolve(file), folderOf(dataFolder))),
}

function folderOf(dataFolder: string | null): string {
  return resolve(dataFolder ?? DEFAULT_DATA_FOLDER)
}

async function inWords<T>(work: Promise<T>): Promise<T> {
  try {
    return await work
  } catch (error) {
    const told = storeFailure(error)
    if (told instanceof LastmetreError || !(error instanceof Error)) throw told
    throw new LastmetreError('store-failed', `It could not be done: ${error.message}.`)
  }
}
