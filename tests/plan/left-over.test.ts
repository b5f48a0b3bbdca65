import { describe, expect, it } from 'vitest'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import type { Interval } from '../../src/strip/cut-plan.ts'
import { kelderwick } from './kelderwick-input.ts'
import { planned } from './planned.ts'
import { bulkRow, drumRow, faultRow, marksOf } from './rows.ts'

const CABLE = 'C081-50'

/** A drum with faults that no piece may hold at these marks, and one piece of an order. */
function worksOf(bookM: number, faultsAtM: number[], pieceM: number, putup = 'C-380'): PlanInput {
  const drum = drumRow({ drum: 'D1', cable: CABLE, bookUm: bookM * 1e6 })
  const faults = faultsAtM.map((atM, i) =>
    faultRow({ fault: `F${i}`, drum: 'D1', markFrom: atM, markTo: atM + 4 }),
  )
  const order = bulkRow({ order: '1', cable: CABLE, lengthUm: pieceM * 1e6, putup })
  return { ...kelderwick(), drums: [drum], marks: [marksOf(drum)], faults, orders: [order] }
}

function costOf(works: PlanInput, plan: Plan, intervals: Interval[]): number {
  const verdict = verifyPlan(works, {
    mountings: [{ ...plan.mountings[0]!, intervals }],
    unserved: plan.unserved,
  })
  expect(verdict.broken).toEqual([])
  return verdict.costMicro
}

describe('what is left of a drum', () => {
  it('begins beyond a fault that the last piece comes close to: scrap earns its copper, and no value is lost', async () => {
    const works = worksOf(200, [58], 50)
    const plan = await planned(works, 1)
    const { intervals } = plan.mountings[0]!
    expect(intervals.map((x) => x.use)).toEqual(['end', 'piece', 'scrap', 'remnant', 'end'])
    const [end, piece, scrap, remnant, inner] = intervals
    expect(scrap!.toUm).toBeGreaterThan(62e6)
    const uncut = [end!, piece!, { ...remnant!, fromUm: scrap!.fromUm }, inner!]
    expect(plan.costMicro).toBeLessThan(costOf(works, plan, uncut))
    expect(plan.bound.costMicro).toBe(plan.costMicro)
  })

  it('is long enough to keep where a piece that may be shorter gives way', async () => {
    const works = worksOf(130, [], 50)
    const cable = works.cables.find((c) => c.cable === CABLE)!
    // what the piece leaves in full lacks a metre of what may be kept
    const fullUm = 50e6 * (1 + works.site.cutRules.lengthGuardRatio) + works.site.cutRules.pieceTrimUm
    cable.minKeepUm = Math.ceil(130e6 - 5.5e6 - fullUm) + 1e6
    const asOrdered = await planned(works, 1)
    expect(asOrdered.mountings[0]!.intervals.map((x) => x.use)).toEqual(['end', 'piece', 'scrap', 'end'])
    works.orders = works.orders.map((order) => ({ ...order, tolMinusPct: 5 }))
    const plan = await planned(works, 1)
    const { intervals } = plan.mountings[0]!
    expect(intervals.map((x) => x.use)).toEqual(['end', 'piece', 'remnant', 'end'])
    expect(intervals[2]!.toUm - intervals[2]!.fromUm).toBe(cable.minKeepUm)
    expect(verifyPlan(works, plan).broken).toEqual([])
    expect(plan.costMicro).toBeLessThan(asOrdered.costMicro)
  })

  it('is wound off in one length across a fault, where a piece lies further in', async () => {
    const works = worksOf(400, [120, 245], 130, 'WD-600')
    const plan = await planned(works, 1)
    const { intervals } = plan.mountings[0]!
    const woundOff = intervals.filter((x) => x.use === 'remnant' && x.putup !== null)
    expect(woundOff).toHaveLength(1)
    const [{ fromUm, toUm }] = woundOff as [Interval]
    expect(fromUm).toBeLessThan(120e6)
    expect(toUm).toBeGreaterThan(124e6)
    const apart = intervals.flatMap((x): Interval[] =>
      x !== woundOff[0]
        ? [x]
        : [
            { ...x, toUm: 119.7e6 },
            { fromUm: 119.7e6, toUm: 124.3e6, use: 'scrap', cause: 'fault F0' },
            { ...x, fromUm: 124.3e6 },
          ],
    )
    expect(plan.costMicro).toBeLessThan(costOf(works, plan, apart))
  })
})

it('where one cable alone is ordered no line changes cable: the one way to cut one piece is proven to cost least', async () => {
  const works = worksOf(60, [], 50)
  const plan = await planned(works, 1)
  expect(plan.mountings).toHaveLength(1)
  expect(plan.bound.costMicro).toBe(plan.costMicro)
})

it('a remnant that a bench could take is not thought cheaper there where no lead is ordered', async () => {
  const works = worksOf(60, [], 30)
  works.drums = works.drums.map((drum) => ({
    ...drum,
    kind: 'remnant',
    putup: 'C-280',
    grossKg: 5,
    tareKg: 0,
  }))
  const plan = await planned(works, 1)
  expect(plan.bound.costMicro).toBe(plan.costMicro)
})
