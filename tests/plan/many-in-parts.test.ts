import { describe, expect, it } from 'vitest'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { verifyClaims, verifyPlan } from '../../src/plan/verify.ts'
import { mended } from '../plan-repair/mended.ts'
import { kelderwick } from './kelderwick-input.ts'
import { planned } from './planned.ts'
import { bulkRow, drumRow, marksOf } from './rows.ts'

const CABLE = 'C081-50'
const CLOCK_SECONDS = 1
/** One more than are followed one by one, each in parts of its own. */
const MANY = 41

function worksOf(bookUm: number, more: Partial<OrderLine>): PlanInput {
  const works = kelderwick()
  const drums = [drumRow({ drum: 'D1', cable: CABLE, bookUm })]
  const parts = { singleLength: false, minPieceUm: 4e6, maxParts: 2, qty: MANY, putup: 'C-380' }
  const order = bulkRow({ order: '1', cable: CABLE, lengthUm: 10e6, ...parts, ...more })
  return { ...works, drums, marks: drums.map(marksOf), faults: [], orders: [order] }
}

describe('very many pieces that may come in parts', () => {
  it('are served, each in one length', async () => {
    const works = worksOf(600e6, {})
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    expect(plan.unserved).toEqual([])
    const pieces = plan.mountings.flatMap((m) => m.intervals.filter((i) => i.use === 'piece'))
    expect(new Set(pieces.map((p) => p.piece)).size).toBe(MANY)
  })

  it('the bound says no more than that half of each is enough where the tolerance says so', async () => {
    const works = worksOf(260e6, { tolMinusPct: 50 })
    const { cutRules, lines } = works.site
    // one part of half a piece for each, by hand
    const cutUm = Math.ceil(5e6 * (1 + cutRules.lengthGuardRatio) + cutRules.pieceTrimUm)
    const startUm = cutRules.outerEndLossProcessDrumUm
    const intervals = Array.from({ length: MANY }, (_, n) => ({
      ...{ fromUm: startUm + n * cutUm, toUm: startUm + (n + 1) * cutUm, use: 'piece' as const },
      ...{ order: '1', orderLine: 1, piece: n + 1, part: 1, count: 1, declaredUm: 5e6, putup: 'C-380' },
    }))
    const byHand = {
      ...{ drum: 'D1', line: lines[1]!.id },
      intervals: [
        { fromUm: 0, toUm: startUm, use: 'end' as const },
        ...intervals,
        { fromUm: startUm + MANY * cutUm, toUm: 260e6, use: 'remnant' as const, putup: null },
      ],
    }
    expect(verifyPlan(works, { mountings: [byHand], unserved: [] }).broken).toEqual([])
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    expect(plan.bound.unservedMicro).toBe(0)
  })

  it('the bound says nothing of a put-up that holds only parts of a piece', async () => {
    const works = worksOf(4000e6, { lengthUm: 60e6, minPieceUm: 30e6 })
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    expect(plan.bound.unservedMicro).toBe(0)
  })

  it('go on after a part of them is cut', async () => {
    const works = worksOf(1000e6, { qty: 2 * MANY })
    const plan = await planned(works, CLOCK_SECONDS)
    expect(plan.unserved).toEqual([])
    for (const cut of [3, 30, 60]) {
      const made = [{ mounting: 0, intervals: cut }]
      const repair = mended(works, plan, { made, before: works })
      expect(verifyClaims(works, repair.plan).broken).toEqual([])
      expect(repair.plan.unserved).toEqual([])
      // one more is asked for than was planned
      const orders = [{ ...works.orders[0]!, qty: 2 * MANY + 1 }]
      const more = mended({ ...works, orders }, plan, { made, before: works })
      expect(more.plan.unserved).toEqual([])
    }
  })
})
