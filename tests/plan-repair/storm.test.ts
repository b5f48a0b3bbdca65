import { describe, expect, it } from 'vitest'
import { type Random, seededRandom } from '../../bench/generate/random.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { StayingCuts } from '../../src/plan/repair-fixed.ts'
import type { RepairEffort } from '../../src/plan/repair-search.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import { hiddenPlan, SMALL } from '../plan-referee/works.ts'
import { foundFault, mended, withFault } from './mended.ts'

const QUICK: RepairEffort = { tries: 6, work: 1_000, widest: 1, moves: 500, turns: 0, changeMicro: 5_000_000 }
const EVENTS = 25

/** Several things at once: a fault, an order line cancelled, cut down, enlarged or added, a drum held. */
function happened(before: PlanInput, plan: Plan, random: Random): PlanInput {
  let works = before
  const drums = before.drums.filter((d) =>
    before.marks.some((m) => m.drum === d.drum && m.printUnit !== 'none'),
  )
  const pick = () => random.pick(works.orders)
  const withOrders = (orders: PlanInput['orders']) => {
    works = { ...works, orders }
  }
  if (random.chance(0.6)) {
    const fault = foundFault(before, random.pick(drums).drum, random.decimal(0.02, 0.98, 3))
    works = withFault(works, { ...fault, severity: random.pick(['cut_out', 'downgrade', 'note'] as const) })
  }
  if (random.chance(0.3)) {
    const gone = pick()
    withOrders(works.orders.filter((o) => o !== gone))
  }
  if (random.chance(0.3)) {
    const other = pick()
    const qty = Math.max(1, other.qty + random.pick([-1, 1]))
    withOrders(works.orders.map((o) => (o === other ? { ...o, qty } : o)))
  }
  if (random.chance(0.3))
    withOrders([...works.orders, { ...pick(), order: 'RUSH', line: 1, sameLotGroup: null, qty: 2 }])
  if (random.chance(0.3)) {
    const { drum } = random.pick(plan.mountings)
    works = {
      ...works,
      drums: works.drums.map((d) => (d.drum === drum ? { ...d, status: 'qc_hold' as const } : d)),
    }
  }
  return works
}

function someCuts(plan: Plan, random: Random, share: number): StayingCuts[] {
  return plan.mountings.flatMap((m, mounting) =>
    random.chance(share) ? [{ mounting, intervals: random.whole(1, m.intervals.length) }] : [],
  )
}

describe('whatever happens', () => {
  // 77 of another run: a rest that was scrap where it was, and mounted again on another line
  it.each([31, 32, 33, 34])(
    'the repaired plan of works %i obeys every rule and keeps what was cut',
    (seed) => {
      const { works: before, plan } = hiddenPlan({ ...SMALL, seed })
      for (let n = 0; n < EVENTS; n++) {
        const random = seededRandom(seed * 1000 + n)
        const works = happened(before, plan, random)
        const made = random.chance(0.6) ? someCuts(plan, random, 0.4) : []
        const held = random.chance(0.3) ? someCuts(plan, random, 0.1) : []
        const repair = mended(works, plan, { made, held, effort: QUICK, before })
        const free = new Set(repair.heldBegun)
        const asCut = works.drums.map((d) => (free.has(d.drum) ? { ...d, status: 'free' as const } : d))
        const which = `works ${seed}, event ${n}`
        expect(verifyClaims({ ...works, drums: asCut }, repair.plan).broken, which).toEqual([])
        const lost = new Set(repair.lost.map((l) => `${l.piece.order}/${l.piece.orderLine}`))
        const cuts = new Set(
          repair.plan.mountings.flatMap((m) => m.intervals.map((i) => JSON.stringify([m.drum, i]))),
        )
        for (const { mounting, intervals } of made)
          for (const i of plan.mountings[mounting]!.intervals.slice(0, intervals))
            if (i.use !== 'piece' || !lost.has(`${i.order}/${i.orderLine}`))
              expect(cuts, which).toContain(JSON.stringify([plan.mountings[mounting]!.drum, i]))
      }
    },
    // without a clock a few of them look for what serves most for ten seconds and more
    300_000,
  )
})
