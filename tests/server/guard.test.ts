import { describe, expect, it } from 'vitest'
import { ask, demoApp } from './harness.ts'

describe('only the user of this machine is answered', () => {
  // Names that a page of another site can point at 127.0.0.1 (DNS rebinding), and near misses of the right ones.
  it.each([
    'evil.example',
    'evil.example:5151',
    '127.0.0.1.evil.example',
    'localhost.evil.example',
    '10.0.0.5',
  ])('refuses the host %j', async (host) => {
    const app = await demoApp()
    const answer = await ask(app, { url: '/api/works', headers: { host } })
    expect(answer).toMatchObject({ status: 403, body: { code: 'host-refused' } })
  })

  it.each(['127.0.0.1:5151', 'localhost:5151', 'LOCALHOST', '[::1]:5151'])(
    'answers the host %s',
    async (host) => {
      const app = await demoApp()
      const headers = { host, origin: `http://${host}` }
      expect(await ask(app, { url: '/api/works', headers })).toMatchObject({ status: 200 })
    },
  )

  it.each(['http://evil.example', 'null', 'http://localhost:9999', 'https://localhost:5151'])(
    'refuses the origin %s',
    async (origin) => {
      const app = await demoApp()
      const headers = { host: 'localhost:5151', origin }
      const answer = await ask(app, { method: 'POST', url: '/api/works/demo', headers })
      expect(answer).toMatchObject({ status: 403, body: { code: 'host-refused' } })
    },
  )

  it('lets no page of another site post without an origin', async () => {
    const app = await demoApp()
    const headers = { host: 'localhost:5151', 'sec-fetch-site': 'cross-site' }
    expect(await ask(app, { method: 'POST', url: '/api/plan/stop', headers })).toMatchObject({ status: 403 })
  })

  it('allows scripts of its own only, and no frame around it', async () => {
    const app = await demoApp()
    const { headers } = await app.http.inject({ url: '/api/works' })
    expect(headers['content-security-policy']).toContain("default-src 'self'")
    expect(headers['content-security-policy']).not.toContain('unsafe')
    expect(headers['content-security-policy']).toContain("frame-ancestors 'none'")
    expect(headers['x-content-type-options']).toBe('nosniff')
  })
})

describe('every refusal has a code and says what to do', () => {
  const json = { 'content-type': 'application/json' }
  it.each([
    ['an address that is none', { url: '/api/nothing' }, 404, 'not-found'],
    ['a path out of the screens', { url: '/..%2f..%2fpackage.json' }, 404, 'not-found'],
    ['a file that a plan has not', { url: '/api/plan/files/..%2F..%2Fpackage.json' }, 404, 'not-found'],
    ['an object property as a file', { url: '/api/plan/files/constructor' }, 404, 'not-found'],
    ['papers before a plan', { url: '/api/plan/files/plan.csv' }, 404, 'no-plan'],
    ['a plan before a plan', { url: '/api/plan' }, 404, 'no-plan'],
    ['a pack before a plan', { url: '/api/plan/pack.zip' }, 404, 'no-plan'],
    ['a version that is none', { url: '/api/input?version=99' }, 404, 'not-found'],
    ['a version that is no number', { url: '/api/input?version=x' }, 400, 'bad-request'],
    [
      'text that is no JSON',
      { method: 'POST', url: '/api/plan', headers: json, payload: '{' },
      400,
      'bad-request',
    ],
    ['a negative time', { method: 'POST', url: '/api/plan', payload: { seconds: -1 } }, 400, 'bad-request'],
    [
      'a time without end',
      { method: 'POST', url: '/api/plan', payload: { seconds: 1e9 } },
      400,
      'bad-request',
    ],
    [
      'a seed that is no number',
      { method: 'POST', url: '/api/plan', payload: { seed: '1' } },
      400,
      'bad-request',
    ],
    ['an unknown key', { method: 'POST', url: '/api/plan', payload: { secods: 1 } }, 400, 'bad-request'],
    [
      'a prototype key',
      { method: 'POST', url: '/api/plan', headers: json, payload: '{"__proto__":{"seconds":1}}' },
      400,
      'bad-request',
    ],
    ['no folder', { method: 'POST', url: '/api/works/open', payload: {} }, 400, 'bad-request'],
    [
      'a body that is too long',
      { method: 'POST', url: '/api/works/open', payload: { folder: 'x'.repeat(100_000) } },
      413,
      'too-large',
    ],
    [
      'a form that is none',
      { method: 'POST', url: '/api/works/upload', payload: { a: 1 } },
      406,
      'bad-request',
    ],
  ] as const)('%s', async (_what, request, status, code) => {
    const app = await demoApp()
    const answer = await ask(app, request)
    expect(answer.body).toMatchObject({ code, message: expect.any(String), todo: expect.any(String) })
    if (status !== 406) expect(answer.status).toBe(status)
  })

  it('describes itself', async () => {
    const app = await demoApp()
    const { body } = await ask(app, { url: '/api/docs.json' })
    const { openapi, paths } = body as { openapi: string; paths: Record<string, unknown> }
    expect(openapi).toBe('3.1.0')
    expect(Object.keys(paths)).toEqual(
      expect.arrayContaining(['/api/works/open', '/api/plan', '/api/orders']),
    )
  })
})
