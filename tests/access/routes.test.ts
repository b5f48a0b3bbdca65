import { describe, expect, it } from 'vitest'
import { may, ROLES } from '../../src/ledger/roles.ts'
import { buildApp } from '../../src/server/app.ts'
import { openStore } from '../../src/store/open-store.ts'
import { emptyFolder } from '../support/empty-folder.ts'
import { ask, cheapPins, demoApp, signedInAs } from './harness.ts'

/** Every route that the server has, as method and pattern, off fastify's own list. */
async function allRoutes(): Promise<{ method: string; url: string }[]> {
  const store = await openStore(await emptyFolder())
  const { http } = await buildApp(store.db)
  await http.ready()
  const text = http.printRoutes({ commonPrefix: false, includeHooks: false })
  await http.close()
  await store.close()
  const trail: string[] = []
  return text.split('\n').flatMap((line) => {
    const found = /^([│ ]*)[├└]── (\S*)(?: \(([A-Z, ]+)\))?/.exec(line)
    if (!found) return []
    const depth = found[1]!.length / 4
    trail.length = depth
    trail[depth] = found[2]!
    const methods = found[3]?.split(', ') ?? []
    return methods.map((method) => ({ method, url: trail.join('') }))
  })
}

const OPEN = ['GET /api/me', 'POST /api/sign-in', 'POST /api/sign-out']

describe('once there are accounts', () => {
  it('every route under /api/ asks for a sign-in but those that make one', async () => {
    const app = await demoApp()
    const routes = await allRoutes()
    expect(routes.map(({ method, url }) => `${method} ${url}`)).toEqual(expect.arrayContaining(OPEN))
    const unanswered: string[] = []
    for (const { method, url } of routes) {
      if (!url.startsWith('/api/') || method === 'HEAD') continue
      const asked = url.replace(/:\w+/g, 'x')
      const answer = await ask(app, { method: method as 'GET', url: asked })
      const isOpen = OPEN.includes(`${method} ${url}`)
      if (isOpen !== (answer.body.code !== 'sign-in-needed')) unanswered.push(`${method} ${url}`)
    }
    expect(unanswered).toEqual([])
  })

  it('nothing outside /api/ is anything but a file of the screens', async () => {
    const odd = (await allRoutes()).filter(
      ({ method, url }) => !url.startsWith('/api/') && !['GET', 'HEAD'].includes(method),
    )
    expect(odd).toEqual([])
  })

  it.each(ROLES.filter((role) => role !== 'owner'))(
    '%s is refused what the table of roles denies',
    async (role) => {
      const app = await demoApp()
      const cookie = await signedInAs(app, role)
      expect(await ask(app, { url: '/api/works' }, cookie)).toMatchObject({ status: 200 })
      const stop = await ask(app, { method: 'POST', url: '/api/plan/stop' }, cookie)
      expect(stop.status).toBe(may(role, 'plan') ? 200 : 403)
      const demo = await ask(app, { method: 'POST', url: '/api/works/demo' }, cookie)
      expect(demo.status).toBe(may(role, 'change-works') ? 200 : 403)
      const list = await ask(app, { url: '/api/accounts' }, cookie)
      expect(list).toMatchObject({ status: 403, body: { code: 'not-allowed' } })
    },
  )

  it('refuses a route that does not state its deed', async () => {
    const store = await openStore(await emptyFolder())
    const app = await buildApp(store.db, { pins: cheapPins() })
    app.http.get('/api/forgotten', async () => 'secret')
    await app.access.accounts.add({ account: 'K-01', name: 'A', role: 'owner', pin: '402917' }, 'local')
    const cookie = await signedInAs(app, 'owner')
    expect(await ask(app, { url: '/api/forgotten' }, cookie)).toMatchObject({ status: 403 })
    expect(await ask(app, { url: '/api/forgotten' })).toMatchObject({ status: 403 })
    await app.http.close()
    await store.close()
  })
})

it('every route under /api/ states its deed', async () => {
  const app = await demoApp()
  const cookie = await signedInAs(app, 'owner')
  const silent: string[] = []
  for (const { method, url } of await allRoutes()) {
    if (!url.startsWith('/api/') || method === 'HEAD' || url.endsWith('/events') || url === '/api/sign-out')
      continue
    const { body } = await ask(app, { method: method as 'GET', url: url.replace(/:\w+/g, 'x') }, cookie)
    if (body.code === 'not-allowed') silent.push(`${method} ${url}`)
  }
  expect(silent).toEqual([])
})
