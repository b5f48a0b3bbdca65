import { describe, expect, it } from 'vitest'
import type { App } from '../../src/server/app.ts'
import type { PlanAnswer, PlanProgress } from '../../src/works/api.ts'
import { until } from '../support/until.ts'
import { ask, demoApp } from './harness.ts'

const JSON_TYPE = 'application/json; charset=utf-8'

async function progress(app: App): Promise<PlanProgress> {
  return (await ask(app, { url: '/api/plan/progress' })).body as PlanProgress
}

async function planned(app: App, seconds: number): Promise<PlanAnswer> {
  const started = await ask(app, { method: 'POST', url: '/api/plan', payload: { seconds } })
  expect(started).toMatchObject({ status: 200, body: { state: 'running', seconds } })
  await until(
    () => progress(app),
    ({ state }) => state !== 'running',
  )
  return (await ask(app, { url: '/api/plan' })).body as PlanAnswer
}

describe('a plan', () => {
  it('is made, kept, handed out, and marked once the works changed', async () => {
    const app = await demoApp()
    const answer = await planned(app, 1)
    expect(await progress(app)).toMatchObject({ state: 'done', phase: 'done', planId: 1, message: null })
    expect(answer).toMatchObject({ planId: 1, worksVersion: 1, stale: false, seconds: 1 })
    expect(answer.plan).toMatchObject({ works: 'kelderwick', seed: 1, stopped: false })

    for (const [name, type, start] of [
      ['plan.json', JSON_TYPE, '{'],
      ['plan.csv', 'text/csv; charset=utf-8', ''],
      ['unserved.csv', 'text/csv; charset=utf-8', ''],
      ['run-sheets.pdf', 'application/pdf', '%PDF-'],
      ['labels.pdf', 'application/pdf', '%PDF-'],
    ] as const) {
      const file = await app.http.inject({ url: `/api/plan/files/${name}` })
      expect(file.statusCode).toBe(200)
      expect(file.headers['content-type']).toBe(type)
      expect(file.headers['content-disposition']).toBe(`attachment; filename="${name}"`)
      expect(file.body.startsWith(start)).toBe(true)
    }
    const pack = await app.http.inject({ url: '/api/plan/pack.zip' })
    // APPNOTE.TXT 4.3.7: a zip begins with the signature of a local file header.
    expect(pack.rawPayload.subarray(0, 4)).toEqual(Buffer.from('PK\u0003\u0004'))

    const orders = Buffer.from(app.works.current().files.get('orders.csv') ?? []).toString()
    await app.works.changeOrders(Buffer.from(orders.split('\r\n').slice(0, 20).join('\r\n')))
    expect((await ask(app, { url: '/api/plan' })).body).toMatchObject({ planId: 1, stale: true })
    // The papers of a stale plan are drawn from the works that it was made for.
    expect((await app.http.inject({ url: '/api/plan/files/plan.csv' })).statusCode).toBe(200)
    const before = (await ask(app, { url: '/api/input?version=1' })).body as { input: { orders: unknown[] } }
    expect(before.input.orders).toHaveLength(120)
  })

  it('is made one at a time, and can be stopped half-way with the best so far', async () => {
    const app = await demoApp()
    await ask(app, { method: 'POST', url: '/api/plan', payload: { seconds: 600 } })
    const second = await ask(app, { method: 'POST', url: '/api/plan', payload: { seconds: 600 } })
    expect(second).toMatchObject({ status: 409, body: { code: 'plan-running' } })
    await until(
      () => progress(app),
      ({ costEur }) => costEur !== null,
    )
    expect(await ask(app, { url: '/api/plan' })).toMatchObject({ status: 200, body: { planId: 1 } })
    const stopping = await ask(app, { method: 'POST', url: '/api/plan/stop' })
    expect(stopping.body).toMatchObject({ state: 'stopping' })
    await until(
      () => progress(app),
      ({ state }) => state === 'done',
    )
    expect((await ask(app, { url: '/api/plan' })).body).toMatchObject({ planId: 1, plan: { stopped: true } })
    expect((await planned(app, 1)).planId).toBe(2)
  })

  it('cannot be stopped where none is made', async () => {
    const app = await demoApp()
    expect(await ask(app, { method: 'POST', url: '/api/plan/stop' })).toMatchObject({
      body: { state: 'idle' },
    })
  })

  it('needs a works', async () => {
    const app = await demoApp({ open: false })
    const answer = await ask(app, { method: 'POST', url: '/api/plan', payload: {} })
    expect(answer).toMatchObject({ status: 409, body: { code: 'no-works' } })
  })

  it('is told of as it changes, to so many windows and no more', async () => {
    const app = await demoApp()
    const url = await app.http.listen({ host: '127.0.0.1', port: 0 })
    const windows = await Promise.all(Array.from({ length: 16 }, () => fetch(`${url}/api/plan/events`)))
    expect(windows.every((window) => window.status === 200)).toBe(true)
    const oneMore = await fetch(`${url}/api/plan/events`)
    expect(oneMore.status).toBe(503)
    expect(await oneMore.json()).toMatchObject({ code: 'too-many' })

    await ask(app, { method: 'POST', url: '/api/plan', payload: { seconds: 0.5 } })
    const states: string[] = []
    for await (const chunk of windows[0]?.body ?? []) {
      for (const line of Buffer.from(chunk).toString().split('\n')) {
        if (line.startsWith('data: ')) states.push((JSON.parse(line.slice(6)) as PlanProgress).state)
      }
      if (states.at(-1) === 'done') break
    }
    expect(states[0]).toBe('idle')
    expect(states).toContain('running')
    await Promise.all(windows.slice(1).map((window) => window.body?.cancel()))
    // A window that is closed makes room.
    const free = await until(
      () => fetch(`${url}/api/plan/events`),
      ({ status }) => status === 200,
    )
    await free.body?.cancel()
  })
})
