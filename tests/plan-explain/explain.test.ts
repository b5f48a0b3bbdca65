import { describe, expect, it } from 'vitest'
import type { OrderLine } from '../../src/order/order-line.ts'
import { type Explanation, explainLine, type Solve } from '../../src/plan/explain.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { NO_CLOCK } from '../../src/plan/repair.ts'
import type { RepairEffort } from '../../src/plan/repair-search.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import { bestOfAll } from '../plan/best-of-all.ts'
import { kelderwick } from '../plan/kelderwick-input.ts'
import { bulkRow, drumRow, marksOf } from '../plan/rows.ts'
import { mended, planOf } from '../plan-repair/mended.ts'

const EFFORT: RepairEffort = { tries: 30, work: 10_000, widest: 3, moves: 4_000, turns: 0, changeMicro: 0 }
const CABLE = 'C069-75'

/** Two drums of one cable on one line, nothing else: every plan can be tried. */
function twoDrums(
  lengths: [number, number],
  orders: OrderLine[],
  lots: [string, string] = ['L1', 'L1'],
): PlanInput {
  const works = kelderwick()
  const drums = lengths.map((lengthM, i) =>
    drumRow({ drum: `D${i + 1}`, cable: CABLE, lot: lots[i]!, bookUm: lengthM * 1e6 }),
  )
  return {
    ...works,
    folder: 'two-drums',
    cables: works.cables.filter((c) => c.cable === CABLE),
    site: { ...works.site, lines: works.site.lines.slice(-1) },
    drums,
    marks: drums.map(marksOf),
    faults: [],
    orders,
  }
}

const order = (id: string, lengthM: number, more: Partial<OrderLine> = {}) =>
  bulkRow({ order: id, cable: CABLE, lengthUm: lengthM * 1e6, putup: null, priceEur: 300, ...more })

/** Every plan that is made to answer obeys the rules of the works it is for. */
const solve: Solve = ({ input, held, barred, cables }, from) => {
  const repair = mended(input, from, {
    held,
    barred,
    anew: cables,
    effort: EFFORT,
    clock: NO_CLOCK,
    before: input,
  })
  expect(verifyClaims(input, repair.plan).broken).toEqual([])
  return repair
}

function explained(input: PlanInput, id: string): Explanation {
  const plan = planOf(input, bestOfAll(input).mountings)
  return explainLine(input, plan, { order: id, orderLine: 1 }, solve)
}

const answer = (e: Explanation, question: string) => e.answers.find((a) => a.question === question)!

describe('why an order line is served as it is', () => {
  const input = twoDrums([150, 400], [order('A', 120), order('B', 60)])
  const e = explained(input, 'A')

  it('says what the next best drum would cost: the difference of the best plans with and without', () => {
    const alone = twoDrums([150, 400], [order('A', 120)])
    const found = explained(alone, 'A')
    const [cut] = found.cuts
    const why = answer(found, 'this drum')
    const held = alone.drums.map((d) => (d.drum === cut!.drum ? { ...d, status: 'qc_hold' as const } : d))
    const without = bestOfAll({ ...alone, drums: held }).verdict
    expect(why.text).toContain(`${cut!.drum} for this piece`)
    expect(why.comparison!.servesMoreMicro).toBe(0)
    expect(why.comparison!.savesMicro).toBe(bestOfAll(alone).verdict.costMicro - without.costMicro)
    expect(why.comparison!.savesMicro).toBeLessThan(0)
  })

  it('says what the order costs the plan', () => {
    const alone = bestOfAll({ ...input, orders: input.orders.filter((o) => o.order !== 'A') }).verdict
    const costs = answer(e, 'this order')
    expect(costs.comparison!.savesMicro).toBe(bestOfAll(input).verdict.costMicro - alone.costMicro)
    expect(costs.text).toContain('Its price is 300.00 EUR')
  })

  it('says of every figure that it is the difference of two plans', () => {
    for (const a of e.answers) expect(a.text).toContain('This is the difference of two plans')
  })
})

describe('the smallest change that serves a line', () => {
  it('is a shorter piece where that is enough', () => {
    // 100.4 m and its margins do not fit what is clean of a drum of 100 m; 10 % less does and 5 % less does not
    const e = explained(twoDrums([100, 30], [order('A', 100)]), 'A')
    expect(e.unserved).toMatchObject({ pieces: 1 })
    expect(answer(e, 'to serve it').changes).toEqual([{ kind: 'shorter', order: 'A', orderLine: 1, pct: 10 }])
  })

  it('is several lots where one cannot give all', () => {
    const two = [order('A', 60, { qty: 2, sameLotGroup: 'G' })]
    const e = explained(twoDrums([80, 80], two, ['L1', 'L2']), 'A')
    expect(e.unserved).toMatchObject({ pieces: 1 })
    expect(answer(e, 'to serve it').changes).toEqual([{ kind: 'lots', group: 'G' }])
    expect(answer(e, 'lots').comparison!.servesMoreMicro).toBeGreaterThan(0)
  })

  it('is one more drum where nothing less helps', () => {
    const e = explained(twoDrums([60, 60], [order('A', 100, { faultsAllowed: 'downgrade' })]), 'A')
    const found = answer(e, 'to serve it')
    expect(found.changes.map((c) => c.kind)).toEqual([expect.stringMatching(/^(parts|drum)$/)])
  })

  it('is said not to be found where no single change serves it', () => {
    const e = explained(twoDrums([60, 60], [order('A', 5000)]), 'A')
    expect(answer(e, 'to serve it').comparison).toBe(null)
  })
})

describe('an order line that is not there', () => {
  it('is refused', () => {
    const input = twoDrums([150, 400], [order('A', 120)])
    expect(() => explained(input, 'Z')).toThrow(/no order line Z\/1/)
  })
})
