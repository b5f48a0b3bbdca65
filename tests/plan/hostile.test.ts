import { describe, expect, it } from 'vitest'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import type { Drum } from '../../src/strip/drum.ts'
import { kelderwick } from './kelderwick-input.ts'
import { planned } from './planned.ts'
import { bulkRow, drumRow, faultRow, leadRow, marksOf } from './rows.ts'

const CABLE = 'C081-50'
const CLOCK_SECONDS = 1

function worksOf(drums: Drum[], orders: OrderLine[]): PlanInput {
  const works = kelderwick()
  return { ...works, drums, marks: drums.map(marksOf), faults: [], orders }
}

const drum = (more: Partial<Drum> = {}) => drumRow({ drum: 'D1', cable: CABLE, bookUm: 500e6, ...more })
const order = (more: Partial<OrderLine> = {}) =>
  bulkRow({ order: '1', cable: CABLE, lengthUm: 50e6, putup: 'C-380', ...more })

async function soundPlan(works: PlanInput): Promise<Plan> {
  const plan = await planned(works, CLOCK_SECONDS)
  expect(verifyClaims(works, plan).broken).toEqual([])
  expect(Number.isFinite(plan.bound.costMicro)).toBe(true)
  return plan
}

const served = (plan: Plan) => plan.mountings.flatMap((m) => m.intervals.filter((i) => i.use === 'piece'))

describe('a works with little in it', () => {
  it('no orders: nothing is cut, for nothing', async () => {
    const plan = await soundPlan(worksOf([drum()], []))
    expect(plan).toMatchObject({ mountings: [], unserved: [], costMicro: 0, bound: { unservedMicro: 0 } })
  })

  it('no drums: nothing is served, and that is proven', async () => {
    const plan = await soundPlan(worksOf([], [order()]))
    expect(plan.mountings).toEqual([])
    expect(plan.unserved).toMatchObject([{ order: '1', pieces: 1, reason: `There is no ${CABLE} in stock.` }])
    expect(plan.bound.unservedMicro).toBe(plan.unservedMicro)
  })

  it.each(['qc_hold', 'customer_sample', 'reserved'] as const)('all stock is %s', async (status) => {
    const plan = await soundPlan(worksOf([drum({ status })], [order()]))
    expect(plan.unserved[0]?.reason).toBe(`All ${CABLE} in stock is held.`)
  })

  it('no line takes the drum', async () => {
    const plan = await soundPlan(worksOf([drum({ grossKg: 5000 })], [order()]))
    expect(plan.mountings).toEqual([])
  })

  it('a drum shorter than its end losses', async () => {
    const short = drum({ bookUm: 4e6 })
    const uncapped = drum({ drum: 'R1', kind: 'remnant', bookUm: 3e6, endCaps: 'none', grossKg: 5 })
    const plan = await soundPlan(
      worksOf([short, uncapped], [order(), leadRow({ order: '2', cable: CABLE, lengthUm: 1e6 })]),
    )
    expect(plan.unserved).toHaveLength(2)
  })

  it('a fault that covers the whole drum, and one at either end', async () => {
    const works = worksOf([drum(), drum({ drum: 'D2' })], [order()])
    works.faults = [
      faultRow({ fault: 'F1', drum: 'D1', markFrom: 500, markTo: 0 }),
      faultRow({ fault: 'F2', drum: 'D2', markFrom: 0, markTo: 0 }),
      faultRow({ fault: 'F3', drum: 'D2', markFrom: 500, markTo: 500 }),
    ]
    expect((await soundPlan(works)).unserved).toEqual([])
  })
})

describe('orders that ask for the impossible', () => {
  it('a put-up that does not hold the piece, one with too small a barrel, unmarked wood where none may go', async () => {
    const plan = await soundPlan(
      worksOf(
        [drum({ bookUm: 3000e6 })],
        [
          order({ order: 'holds', lengthUm: 400e6, putup: 'C-280' }),
          order({ order: 'barrel', putup: 'BB-200' }),
          order({ order: 'wood', lengthUm: 200e6, putup: 'WN-1000', market: 'EXP' }),
          order({ order: 'process', putup: 'PR-1250' }),
        ],
      ),
    )
    expect(plan.unserved.map((u) => u.order)).toEqual(['holds', 'barrel', 'wood', 'process'])
    for (const u of plan.unserved) expect(u.reason.trim()).not.toBe('')
  })

  it('a length beyond all stock, and one of a single micrometre', async () => {
    const plan = await soundPlan(
      worksOf([drum()], [order({ lengthUm: 100_000e6 }), order({ order: '2', lengthUm: 1 })]),
    )
    expect(plan.unserved.map((u) => u.order)).toEqual(['1'])
  })

  it('10 000 pieces in one line', async () => {
    const many = (more: Partial<OrderLine>) => order({ qty: 10_000, priceEur: 50_000, ...more })
    const plan = await soundPlan(
      worksOf(
        [drum({ bookUm: 2000e6 })],
        [
          many({ order: 'short', lengthUm: 1e6 }),
          many({ order: 'long', priceEur: 1 }),
          leadRow({ order: 'leads', cable: CABLE, lengthUm: 500_000, qty: 10_000, priceEur: 20_000 }),
          many({ order: 'parts', singleLength: false, minPieceUm: 10e6, maxParts: 3 }),
        ],
      ),
    )
    expect(served(plan).length).toBeGreaterThan(0)
  })

  it('several pieces of one line that may each come in parts: each has its number', async () => {
    const parts = { singleLength: false, minPieceUm: 20e6, maxParts: 2, qty: 3 }
    const plan = await soundPlan(worksOf([drum()], [order(parts)]))
    expect(plan.unserved).toEqual([])
    const numbers = served(plan).map((i) => (i.use === 'piece' ? i.piece : 0))
    expect([...new Set(numbers)].sort()).toEqual([1, 2, 3])
  })

  it('a tolerance of all of it in a lot group, with no trim and a stretch of no length', async () => {
    const works = worksOf(
      [drum(), drum({ drum: 'R1', kind: 'remnant', bookUm: 1e6, grossKg: 5 })],
      [order({ tolMinusPct: 100, sameLotGroup: 'G' }), order({ order: '2', sameLotGroup: 'G' })],
    )
    const cutRules = { ...works.site.cutRules, pieceTrimUm: 0, outerEndLossRemnantUm: 0 }
    works.faults = [faultRow({ fault: 'F1', drum: 'R1', markFrom: 0, markTo: 0 })]
    expect((await soundPlan({ ...works, site: { ...works.site, cutRules } })).unserved).toEqual([])
  })

  it('a price of nothing, a due date long past and one far off', async () => {
    const plan = await soundPlan(
      worksOf(
        [drum()],
        [
          order({ priceEur: 0 }),
          order({ order: '2', dueDate: '1970-01-01' }),
          order({ order: '3', dueDate: '9999-12-31' }),
        ],
      ),
    )
    expect(plan.unserved).toEqual([])
  })

  it('nothing is worth keeping, or everything is', async () => {
    for (const minKeepUm of [0, 100_000e6]) {
      const works = worksOf([drum()], [order()])
      const cables = works.cables.map((c) => ({ ...c, minKeepUm }))
      expect((await soundPlan({ ...works, cables })).unserved).toEqual([])
    }
  })

  it('the same length in feet and in metres, beside one that differs by a micrometre', async () => {
    const plan = await soundPlan(
      worksOf(
        [drum()],
        [
          order({ order: '1', unit: 'ft', lengthTyped: '100', lengthUm: 30_480_000, qty: 2 }),
          order({ order: '2', lengthUm: 30_480_000, qty: 2 }),
          order({ order: '3', lengthUm: 30_480_001, qty: 2 }),
        ],
      ),
    )
    expect(plan.unserved).toEqual([])
    expect(served(plan)).toHaveLength(6)
  })

  it('parts longer than their piece, no part allowed, tolerances of a hundred per cent', async () => {
    await soundPlan(
      worksOf(
        [drum({ bookUm: 120e6 })],
        [
          order({ order: '1', singleLength: false, minPieceUm: 80e6, maxParts: 2 }),
          order({ order: '2', singleLength: false, minPieceUm: 10e6, maxParts: 1 }),
          order({ order: '3', tolMinusPct: 100, tolPlusPct: 100 }),
        ],
      ),
    )
  })
})

describe('names', () => {
  it.each(['__proto__', 'constructor', 'toString', 'hasOwnProperty', '<img src=x>', '../../etc', 'a:b/1'])(
    '%s is a name like any other',
    async (name) => {
      const works = kelderwick()
      const drums = [drum({ drum: name, cable: name, lot: name }), drum({ drum: 'D2', cable: name })]
      const rename = (putup: string) => (putup === 'C-380' ? name : putup)
      const line = { ...works.site.lines[1]!, id: name }
      // a cost by name must be a cell of its own
      const materialCostEurM = Object.fromEntries([[name, 0.644]])
      const named: PlanInput = {
        ...works,
        cables: works.cables.filter((c) => c.cable === CABLE).map((c) => ({ ...c, cable: name })),
        costs: { ...works.costs, materialCostEurM },
        putups: works.putups.map((p) => ({ ...p, putup: rename(p.putup) })),
        site: { ...works.site, lines: [{ ...line, takeupPutups: line.takeupPutups.map(rename) }] },
        drums,
        marks: drums.map(marksOf),
        faults: [faultRow({ fault: name, drum: name, markFrom: 100, markTo: 101 })],
        orders: [
          order({ order: name, cable: name, putup: name, sameLotGroup: name }),
          order({ order: name, line: 2, cable: name, putup: name, sameLotGroup: name, qty: 2 }),
          order({ order: name, line: 3, cable: name, putup: null }),
          leadRow({ order: name, line: 4, cable: name, lengthUm: 2e6 }),
        ],
      }
      const plan = await soundPlan(named)
      expect(plan.unserved).toEqual([])
      expect(plan.deliveredMicro).toBe(Math.round(644_000 * (4 * 50 + 2)))
    },
  )
})
