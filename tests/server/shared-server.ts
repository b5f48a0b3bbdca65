import { onTestFinished } from 'vitest'
import { type App, buildApp } from '../../src/server/app.ts'
import { openSharing, type Sharing } from '../../src/server/sharing.ts'
import type { Store } from '../../src/store/dialect.ts'
import { openStore } from '../../src/store/open-store.ts'
import { emptyFolder } from '../support/empty-folder.ts'

export interface Server {
  app: App
  db: Store
  sharing: Sharing
  /** Ends it in good order; ended after the test anyway. */
  close(): Promise<void>
}

/** A server with its own pool of connections on the shared database. */
export async function openServer(url: string): Promise<Server> {
  const store = await openStore(await emptyFolder(), url)
  const sharing = await openSharing(store)
  const app = await buildApp(store.db, { sharing })
  await app.http.ready()
  let closed: Promise<void> | null = null
  const close = async () => {
    await app.http.close()
    await sharing.close()
    await store.close()
  }
  onTestFinished(() => {
    closed ??= close()
    return closed
  })
  return {
    app,
    db: store.db,
    sharing,
    close() {
      closed ??= close()
      return closed
    },
  }
}
