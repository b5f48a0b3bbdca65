import type { InjectOptions } from 'fastify'
import { onTestFinished } from 'vitest'
import type { Role } from '../../src/ledger/roles.ts'
import { PinKeeper } from '../../src/server/accounts-pin.ts'
import { type App, buildApp } from '../../src/server/app.ts'
import { readWorksFolder } from '../../src/server/read-works-folder.ts'
import type { Store } from '../../src/store/dialect.ts'
import { openStore } from '../../src/store/open-store.ts'
import { DEMO } from '../support/demo.ts'
import { emptyFolder } from '../support/empty-folder.ts'

export const OWNER = { account: 'K-01', name: 'Ada Owner', role: 'owner', pin: '402917' } as const

/** What a PIN costs is asked in one test; the others ask what it opens. */
export const cheapPins = () => new PinKeeper(4)

/** A server without a socket, with the demo open and the owner's account where asked for. */
export async function demoApp({ owner = true, names = [] as string[] } = {}): Promise<App & { db: Store }> {
  const store = await openStore(await emptyFolder())
  const app = await buildApp(store.db, { names, pins: cheapPins() })
  onTestFinished(async () => {
    await app.http.close()
    await store.close()
  })
  await app.works.open(await readWorksFolder(DEMO))
  if (owner) await app.access.accounts.add(OWNER, 'local')
  return { ...app, db: store.db }
}

export interface Answer {
  status: number
  body: Record<string, unknown>
  cookie: string | null
}

/** One request; `cookie` as an earlier answer set it. */
export async function ask(app: App, request: InjectOptions, cookie: string | null = null): Promise<Answer> {
  const headers = { ...request.headers, ...(cookie === null ? {} : { cookie }) }
  const answer = await app.http.inject({ ...request, headers })
  const set = answer.cookies.find(({ name }) => name.endsWith('lastmetre-session'))
  const body = answer.headers['content-type']?.toString().includes('json') ? answer.json() : {}
  return { status: answer.statusCode, body, cookie: set ? `${set.name}=${set.value}` : null }
}

export function signIn(app: App, badge: string, pin: string, address = '127.0.0.1'): Promise<Answer> {
  return ask(app, { method: 'POST', url: '/api/sign-in', payload: { badge, pin }, remoteAddress: address })
}

/** The cookie of somebody of that role. */
export async function signedInAs(app: App, role: Role): Promise<string> {
  if (role !== 'owner') {
    await app.access.accounts.add(
      { account: `K-${role}`, name: `One of ${role}`, role, pin: '730514' },
      'K-01',
    )
  }
  const { cookie } =
    role === 'owner' ? await signIn(app, 'K-01', OWNER.pin) : await signIn(app, `K-${role}`, '730514')
  if (cookie === null) throw new Error('not signed in')
  return cookie
}
