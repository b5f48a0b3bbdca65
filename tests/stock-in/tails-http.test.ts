import { describe, expect, it } from 'vitest'
import type { PlanAnswer } from '../../src/works/api.ts'
import type { TailsAnswer } from '../../src/works/stock-api.ts'
import { Hall } from '../floor/hall.ts'
import { ask } from '../server/harness.ts'
import { demoWith } from '../support/demo.ts'

const HEAD = 'cable,putup,length,unit,least'
const LEVELS = `${HEAD}\nC059-50,C-280,50,m,4\nC069-75,C-280,25,m,8\nC081-50,C-380,50,m,4\n`

async function hallWith(levels: string | null): Promise<Hall> {
  return Hall.open(await demoWith({ 'more/minimum_levels.csv': levels }))
}

async function propose({ app }: Hall): Promise<TailsAnswer> {
  const { status, body } = await ask(app, { method: 'POST', url: '/api/stock/tails' })
  expect(status).toBe(200)
  return body as TailsAnswer
}

const take = ({ app }: Hall, token: string) =>
  ask(app, { method: 'POST', url: '/api/stock/tails/take', payload: { token } })

const newest = async ({ app }: Hall) => (await ask(app, { url: '/api/plan' })).body as PlanAnswer

describe('coils out of tails, over HTTP', () => {
  it('are proposed with their money, taken once, and are then cut by the newest plan for order STOCK', async () => {
    const hall = await hallWith(LEVELS)
    const before = await newest(hall)
    const { proposal, why } = await propose(hall)
    expect(why).toBeNull()
    const { token, cuts, lines, gainMicro, handlingMicro, costBeforeMicro, costAfterMicro } = proposal!
    // what is saved is what the plan saves, less what the coils cost to make
    expect(gainMicro).toBe(costBeforeMicro - costAfterMicro - handlingMicro)
    expect(gainMicro).toBeGreaterThan(0)
    expect(costBeforeMicro).toBe(before.plan.costMicro)
    const pieces = cuts.reduce((n, cut) => n + cut.pieces, 0)
    expect(lines.reduce((n, line) => n + line.qty, 0)).toBe(pieces)
    // a proposal stores nothing
    expect((await newest(hall)).planId).toBe(before.planId)

    const taken = await take(hall, token)
    expect(taken.status).toBe(200)
    const after = await newest(hall)
    expect(after.planId).toBe((taken.body as { planId: number }).planId)
    expect(after).toMatchObject({ stale: false })
    expect(after.plan.costMicro).toBe(costAfterMicro)
    const forStock = after.plan.mountings.flatMap((m) =>
      m.intervals.filter((cut) => cut.use === 'piece' && cut.order === 'STOCK'),
    )
    expect(forStock).toHaveLength(pieces)
    const { works } = hall.app.works.current()
    expect(works.orders.filter((o) => o.order === 'STOCK').map((o) => o.qty)).toEqual(lines.map((l) => l.qty))
    // the token was used up
    expect(await take(hall, token)).toMatchObject({ status: 409, body: { code: 'preview-stale' } })
  })

  it('are not taken once something was booked in between', async () => {
    const hall = await hallWith(LEVELS)
    const { proposal } = await propose(hall)
    await hall.book({ kind: 'move-drum', drum: 'D012', place: 'A01-1' })
    expect(await take(hall, proposal!.token)).toMatchObject({ status: 409, body: { code: 'preview-stale' } })
  })

  it('are not asked for where no level is recorded or every level is met', async () => {
    expect(await propose(await hallWith(null))).toEqual({
      proposal: null,
      why: 'No minimum levels are recorded (more/minimum_levels.csv).',
    })
    expect(await propose(await hallWith(`${HEAD}\nC081-50,C-220,25,m,1\n`))).toEqual({
      proposal: null,
      why: 'Every minimum level is met, counting what is ordered for the shelf.',
    })
  })
})
