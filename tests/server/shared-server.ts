import { spawn } from 'node:child_process'
import { fileURLToPath } from 'node:url'
import { onTestFinished } from 'vitest'
import { type App, buildApp } from '../../src/server/app.ts'
import { readWholeFolder } from '../../src/server/kept-more.ts'
import { openSharing, type Sharing } from '../../src/server/sharing.ts'
import type { Store } from '../../src/store/dialect.ts'
import { openStore } from '../../src/store/open-store.ts'
import { Hall, storePlan } from '../floor/hall.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { until, untilFound } from '../support/until.ts'

const MAIN = fileURLToPath(new URL('../../dist/cli/main.js', import.meta.url))

export interface Server {
  app: App
  db: Store
  sharing: Sharing
  /** Ends it in good order; ended after the test anyway. */
  close(): Promise<void>
}

/** A server with its own pool of connections on the shared database. */
export async function openServer(url: string): Promise<Server> {
  return openServerAt({ folder: await emptyFolder(), url })
}

/** A server on the database of a folder, or on PostgreSQL where there is an address. */
export async function openServerAt({ folder, url }: { folder: string; url: string | null }): Promise<Server> {
  const store = await openStore(folder, url)
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

/** Server a, on duty, and b beside it, each by its own address of one database, with the works of a folder and a plan in force. */
export async function twoServers(folder: string, urlA: string, urlB: string) {
  const a = await openServer(urlA)
  const b = await openServer(urlB)
  await a.app.works.open(await readWholeFolder(folder))
  await until(
    async () => b.app.works.isOpen(),
    (isOpen) => isOpen,
  )
  const planId = await storePlan(a.db)
  const hallA = new Hall(a.app, planId, 'a')
  const released = await hallA.release()
  await until(
    async () => b.app.ledger.toldSeq,
    (seq) => seq >= released.seq,
  )
  return { a, b, hallA, hallB: new Hall(b.app, planId, 'b') }
}

/** The built program in a process of its own; killed after the test at the latest. */
export async function servedProcess(args: string[], url: string | null) {
  const child = spawn(process.execPath, [MAIN, 'serve', '--port', '0', ...args], {
    env: { ...process.env, DATABASE_URL: url ?? '' },
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  const ended = new Promise((resolve) => child.on('close', resolve))
  onTestFinished(() => void child.kill('SIGKILL'))
  let said = ''
  child.stdout.on('data', (chunk) => {
    said += chunk
  })
  const address = await untilFound(() => /http:\/\/127\.0\.0\.1:\d+/.exec(said)?.[0])
  return { child, ended, address }
}
