import { resolve } from 'node:path'
import { openStore } from '../store/open-store.ts'
import { auditAt } from './access-audit.ts'
import { AccountsDesk } from './accounts-desk.ts'
import { DEFAULT_DATA_FOLDER } from './project.ts'

/** The accounts of a data folder (or of DATABASE_URL) without a server; a server that has the folder open refuses it. */
export async function withAccounts<T>(
  dataFolder: string | null,
  work: (accounts: AccountsDesk) => Promise<T>,
): Promise<T> {
  const store = await openStore(resolve(dataFolder ?? DEFAULT_DATA_FOLDER))
  try {
    return await work(new AccountsDesk(store.db, auditAt('command line')))
  } finally {
    await store.close()
  }
}
