import { describe, expect, it } from 'vitest'
import type { Explanation } from '../../src/plan/explain.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import type { App } from '../../src/server/app.ts'
import type { PlanAnswer, PlanProgress, TryAnswer, TryChange } from '../../src/works/api.ts'
import { until } from '../support/until.ts'
import { ask, demoApp } from './harness.ts'

async function planned(app: App): Promise<PlanAnswer> {
  await ask(app, { method: 'POST', url: '/api/plan', payload: { seconds: 1 } })
  await until(
    async () => (await ask(app, { url: '/api/plan/progress' })).body as PlanProgress,
    ({ state }) => state !== 'running',
  )
  return newest(app)
}

const newest = async (app: App) => (await ask(app, { url: '/api/plan' })).body as PlanAnswer
const post = (app: App, url: string, payload: object) => ask(app, { method: 'POST', url, payload })

async function tried(app: App, changes: TryChange[]): Promise<TryAnswer> {
  const { status, body } = await post(app, '/api/plan/try', { changes, seconds: 0.5 })
  expect(status, JSON.stringify(body)).toBe(200)
  return body as TryAnswer
}

const drumsOf = (plan: Plan) => plan.mountings.map((m) => m.drum)

describe('a change that is tried', () => {
  it('is planned beside the plan as it is, and stored only when it is taken', async () => {
    const app = await demoApp()
    const { plan, planId } = await planned(app)
    const [drum] = drumsOf(plan)
    const answer = await tried(app, [{ kind: 'exclude', drum: drum! }])
    expect(drumsOf(answer.after)).not.toContain(drum)
    expect(drumsOf(answer.before)).toContain(drum)
    expect((await newest(app)).planId).toBe(planId)

    const taken = await post(app, '/api/plan/take', { token: answer.token, take: 'after' })
    expect(taken).toMatchObject({ status: 200, body: { planId: planId + 1 } })
    const now = await newest(app)
    expect(now).toMatchObject({ planId: planId + 1, stale: false })
    expect(now.plan.mountings).toEqual(answer.after.mountings)
    // what is proven holds for the works itself, with the drum that was left out
    // nothing proven is minus infinity, which JSON keeps as null
    const costMicro = now.plan.bound.costMicro ?? Number.NEGATIVE_INFINITY
    const bound = { ...now.plan.bound, costMicro }
    expect(verifyClaims(app.works.current().works, { ...now.plan, bound }).broken).toEqual([])
    const again = await post(app, '/api/plan/take', { token: answer.token, take: 'after' })
    expect(again).toMatchObject({ status: 409, body: { code: 'preview-stale' } })
  })

  it('holds a cut with all that lies outside it', async () => {
    const app = await demoApp()
    const { plan } = await planned(app)
    const interval = plan.mountings[0]!.intervals.findIndex((i) => i.use === 'piece')
    const { after } = await tried(app, [{ kind: 'hold', mounting: 0, interval }])
    const { drum, intervals } = plan.mountings[0]!
    const now = after.mountings.find((m) => m.drum === drum)!
    expect(now.intervals.slice(0, interval + 1)).toEqual(intervals.slice(0, interval + 1))
  })

  it('forbids an order line on a drum', async () => {
    const app = await demoApp()
    const { plan } = await planned(app)
    const { drum, intervals } = plan.mountings[0]!
    const piece = intervals.find((i) => i.use === 'piece')!
    const { order, orderLine } = piece
    const { after } = await tried(app, [{ kind: 'forbid', order, orderLine, drum }])
    const there = after.mountings.filter((m) => m.drum === drum).flatMap((m) => m.intervals)
    expect(there.some((i) => i.use === 'piece' && i.order === order && i.orderLine === orderLine)).toBe(false)
  })

  it('adds an order line, which is stored with its plan', async () => {
    const app = await demoApp()
    const { plan } = await planned(app)
    const add: TryChange = {
      kind: 'add',
      like: { order: '7105', orderLine: 1 },
      order: '9001',
      qty: 1,
      length: '3',
      dueDate: '2031-03-20',
      priceEur: 12.5,
    }
    const answer = await tried(app, [add])
    expect(answer.addedOrder).toMatchObject({ order: '9001', line: 1, qty: 1, lengthTyped: '3' })
    expect(app.works.current().works.orders).toHaveLength(120)
    await post(app, '/api/plan/take', { token: answer.token, take: 'after' })
    expect(app.works.current().works.orders).toHaveLength(121)
    expect(await newest(app)).toMatchObject({ stale: false })
    expect(plan.works).toBe('kelderwick')
  })

  it.each<[object, number]>([
    [{ changes: [] }, 400],
    [{ changes: [{ kind: 'exclude', drum: 'D999' }] }, 422],
    [{ changes: [{ kind: 'hold', mounting: 999, interval: 0 }] }, 422],
    [{ changes: [{ kind: 'drum', cable: 'C110-50' }] }, 400],
    [{ changes: [{ kind: 'exclude', drum: 'D001', more: 1 }] }, 400],
  ])('that makes no sense is refused: %o', async (payload, status) => {
    const app = await demoApp()
    await planned(app)
    expect((await post(app, '/api/plan/try', payload)).status).toBe(status)
  })

  it('of an order line is checked like any that is pasted', async () => {
    const app = await demoApp()
    await planned(app)
    const like = { order: '7105', orderLine: 1 }
    const add = {
      kind: 'add',
      like,
      order: '../x',
      qty: 1,
      length: 'long',
      dueDate: '2031-02-31',
      priceEur: 1,
    }
    const { status, body } = await post(app, '/api/plan/try', { changes: [add] })
    expect(status).toBe(422)
    expect((body as { problems: unknown[] }).problems.length).toBeGreaterThan(1)
  })
})

describe('an order line', () => {
  it('is explained', async () => {
    const app = await demoApp()
    await planned(app)
    const { status, body } = await post(app, '/api/plan/explain', {
      order: '7118',
      orderLine: 1,
      seconds: 0.2,
    })
    expect(status).toBe(200)
    const explanation = body as Explanation
    expect(explanation.unserved).toMatchObject({ pieces: 1 })
    // no clean stretch of its cable is long enough, so it takes another drum, or parts
    expect(explanation.answers.at(-1)!.text).toContain('The smallest change found that serves it in full')
  })

  it('cannot be explained without a plan, nor of an earlier works', async () => {
    const app = await demoApp()
    const asked = { order: '7118', orderLine: 1 }
    expect(await post(app, '/api/plan/explain', asked)).toMatchObject({
      status: 404,
      body: { code: 'no-plan' },
    })
    await planned(app)
    const orders = Buffer.from(app.works.current().files.get('orders.csv') ?? []).toString()
    await app.works.changeOrders(Buffer.from(orders.split('\r\n').slice(0, 20).join('\r\n')))
    const stale = await post(app, '/api/plan/explain', asked)
    expect(stale).toMatchObject({ status: 409, body: { code: 'plan-stale' } })
  })
})
