import { describe, expect, it } from 'vitest'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import type { CutRules } from '../../src/strip/cut-rules.ts'
import { kelderwick } from '../plan/kelderwick-input.ts'
import { planned } from '../plan/planned.ts'
import { bulkRow, drumRow, leadRow, marksOf } from '../plan/rows.ts'
import { mended } from './mended.ts'

const CABLE = 'C081-50'
const CLOCK_SECONDS = 1

function worksOf(bookUm: number, orders: OrderLine[], rules: Partial<CutRules>): PlanInput {
  const works = kelderwick()
  const drums = [drumRow({ drum: 'D1', cable: CABLE, bookUm })]
  const site = { ...works.site, cutRules: { ...works.site.cutRules, ...rules } }
  return { ...works, site, drums, marks: drums.map(marksOf), faults: [], orders }
}

const bulk = (more: Partial<OrderLine>) =>
  bulkRow({ order: '1', cable: CABLE, lengthUm: 40e6, putup: 'C-380', qty: 3, ...more })
const leads = leadRow({ order: '1', cable: CABLE, lengthUm: 1e6, qty: 100, tolPlusMm: 0 })
/** Ends of a process drum are cut off. */
const { outerEndLossProcessDrumUm, innerEndLossProcessDrumUm } = kelderwick().site.cutRules
const ENDS_UM = outerEndLossProcessDrumUm + innerEndLossProcessDrumUm

describe('a plan after the margins of the works have changed', () => {
  it.each<[string, number, OrderLine[], Partial<CutRules>, Partial<CutRules>]>([
    ['a smaller guard', 400e6, [bulk({})], { lengthGuardRatio: 0.05 }, { lengthGuardRatio: 0.001 }],
    ['a greater guard', 400e6, [bulk({})], { lengthGuardRatio: 0.001 }, { lengthGuardRatio: 0.05 }],
    [
      'a smaller guard, pieces in parts',
      400e6,
      [bulk({ singleLength: false, minPieceUm: 10e6, maxParts: 3 })],
      { lengthGuardRatio: 0.05 },
      { lengthGuardRatio: 0.001 },
    ],
    [
      'a smaller guard, pieces that may be shorter, of which one is',
      118e6 + ENDS_UM,
      [bulk({ tolMinusPct: 30 })],
      { lengthGuardRatio: 0.05 },
      { lengthGuardRatio: 0.001 },
    ],
    [
      'a greater guard on a drum that is full',
      123e6 + ENDS_UM,
      [bulk({})],
      { lengthGuardRatio: 0.001 },
      { lengthGuardRatio: 0.05 },
    ],
    [
      'a longer trim of leads on a drum that is full',
      100e6 + ENDS_UM,
      [leads],
      { leadTrimUm: 0 },
      { leadTrimUm: 1_000 },
    ],
  ])('obeys the new ones: %s', async (_, bookUm, orders, before, after) => {
    const old = worksOf(bookUm, orders, before)
    const plan = await planned(old, CLOCK_SECONDS)
    expect(plan.mountings).toHaveLength(1)
    const works = worksOf(bookUm, orders, after)
    const repair = mended(works, plan, { before: old })
    expect(verifyClaims(works, repair.plan).broken).toEqual([])
    expect(repair.plan.mountings).toHaveLength(1)
  })
})
