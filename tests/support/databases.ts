import { afterAll, beforeAll, describe, onTestFinished } from 'vitest'
import { type OpenedStore, openStore } from '../../src/store/open-store.ts'
import { emptyFolder } from './empty-folder.ts'
import { startPostgres, type TestPostgres } from './postgres.ts'

/** A place for a database that is empty at first; it is closed after the test. */
export interface DatabasePlace {
  folder: string
  url: string | null
  open(): Promise<OpenedStore>
}

export interface TestDatabases {
  kind: 'sqlite' | 'postgres'
  place(): Promise<DatabasePlace>
}

/** The same tests on the file of a data folder and on a real PostgreSQL; they fail where none can be started. */
export function onBoth(tests: (databases: TestDatabases) => void): void {
  describe('on SQLite', () => tests({ kind: 'sqlite', place: () => placeAt(null) }))
  describe('on PostgreSQL', () => {
    let server: TestPostgres | undefined
    beforeAll(async () => {
      server = await startPostgres()
    })
    afterAll(() => server?.stop())
    tests({
      kind: 'postgres',
      place: async () => placeAt((await server?.fresh()) ?? null),
    })
  })
}

async function placeAt(url: string | null): Promise<DatabasePlace> {
  const folder = await emptyFolder()
  return {
    folder,
    url,
    async open() {
      const store = await openStore(folder, url)
      let open = true
      const close = async () => {
        if (open) await store.close()
        open = false
      }
      onTestFinished(close)
      return { ...store, close }
    },
  }
}
