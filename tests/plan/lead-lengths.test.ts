import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { leadCutFine, leadCutUm } from '../../src/lead/cut-length.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { SLACK_UM } from '../../src/plan/tally.ts'
import { verifyClaims, verifyPlan } from '../../src/plan/verify.ts'
import { fineFromTyped, needUmFromTyped } from '../../src/quantity/length.ts'
import type { Interval, PieceInterval } from '../../src/strip/cut-plan.ts'
import type { Drum } from '../../src/strip/drum.ts'
import { kelderwick } from './kelderwick-input.ts'
import { planned } from './planned.ts'
import { bulkRow, drumRow, leadRow, marksOf } from './rows.ts'

const CABLE = 'C081-50'
const CLOCK_SECONDS = 1
const QTY = 71

function worksOf(orders: OrderLine[], leadTrimUm: number, drums: Partial<Drum>[] = [{}]): PlanInput {
  const works = kelderwick()
  const rows = drums.map((d, i) => drumRow({ drum: `D${i + 1}`, cable: CABLE, bookUm: 500e6, ...d }))
  const site = { ...works.site, cutRules: { ...works.site.cutRules, leadTrimUm } }
  return { ...works, site, drums: rows, marks: rows.map(marksOf), faults: [], orders }
}

function typed(lengthTyped: string, unit: 'm' | 'ft'): Pick<OrderLine, 'lengthTyped' | 'unit' | 'lengthUm'> {
  return { lengthTyped, unit, lengthUm: needUmFromTyped(lengthTyped, unit) }
}

/** Leads that may not be a hair too long, each a fraction of a micrometre shorter than the whole one above: 1.000002 ft = 304 800.6096 µm. */
const inFeet = (more: Partial<OrderLine> = {}) =>
  leadRow({ order: '1', cable: CABLE, qty: QTY, tolPlusMm: 0, ...typed('1.000002', 'ft'), ...more })
const LEAD_FINE = 3_048_006_096n

const piecesOf = (intervals: Interval[]) => intervals.filter((i): i is PieceInterval => i.use === 'piece')

/** By hand in whole ten-thousandths of a micrometre: no bench length further from what its leads take than rounding may bring it. */
function expectExact(pieces: PieceInterval[], leadFine: bigint): void {
  const slackFine = BigInt(SLACK_UM) * 10_000n
  for (const { fromUm, toUm, count } of pieces) {
    const overFine = BigInt(toUm - fromUm) * 10_000n - BigInt(count) * leadFine
    expect(overFine <= slackFine).toBe(true)
    expect(overFine >= -slackFine).toBe(true)
  }
}

describe('many leads in one length, each no whole micrometre', () => {
  it.each([0, 20_000])('add up before they are rounded: trim of %i µm', async (trimUm) => {
    const works = worksOf([inFeet()], trimUm)
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    const pieces = piecesOf(plan.mountings.flatMap((m) => m.intervals))
    expect(pieces.map((p) => p.count)).toEqual([QTY])
    expectExact(pieces, LEAD_FINE + BigInt(trimUm) * 10_000n)
  })

  it('of several order lines and beside pieces of other lengths', async () => {
    const works = worksOf(
      [
        inFeet(),
        inFeet({ order: '2', qty: 40, dueDate: '2031-03-05' }),
        inFeet({ order: '3', qty: 7, ...typed('3.33333', 'ft') }),
        bulkRow({ order: '4', cable: CABLE, putup: 'C-380', qty: 3, ...typed('33.333333', 'ft') }),
      ],
      1,
      [{ bookUm: 60e6 }, { bookUm: 60e6, lot: 'L2' }],
    )
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    const pieces = piecesOf(plan.mountings.flatMap((m) => m.intervals))
    expect(pieces.filter((p) => p.order < '3').reduce((sum, p) => sum + p.count, 0)).toBe(QTY + 40)
    expectExact(
      pieces.filter((p) => p.order < '3'),
      LEAD_FINE + 10_000n,
    )
  })

  it('a lead by metres that a foot comes near to is another demand', async () => {
    const works = worksOf([inFeet(), inFeet({ order: '2', ...typed('0.304801', 'm') })], 0)
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    const pieces = piecesOf(plan.mountings.flatMap((m) => m.intervals))
    expectExact(
      pieces.filter((p) => p.order === '2'),
      3_048_010_000n,
    )
  })
})

it('a drum that holds all leads if they add up before they are rounded: the bound does not say that some must stay unserved', async () => {
  const { outerEndLossProcessDrumUm, innerEndLossProcessDrumUm } = kelderwick().site.cutRules
  // 200 · 304 800.6096 µm = 60 960 121.92 µm; each rounded up they would take 78 µm more
  const bookUm = 60_960_122 + outerEndLossProcessDrumUm + innerEndLossProcessDrumUm
  const works = worksOf([inFeet({ qty: 200 })], 0, [{ bookUm }])
  const plan = await planned(works, CLOCK_SECONDS)
  expect(verifyClaims(works, plan).broken).toEqual([])
  expect(plan.bound.unservedMicro).toBe(0)
})

describe('the check of a bench length', () => {
  const works = worksOf([inFeet()], 0)
  const { outerEndLossProcessDrumUm: endUm } = works.site.cutRules
  const rules = (lengthUm: number) => {
    const piece = {
      order: '1',
      orderLine: 1,
      piece: 1,
      part: 1,
      count: QTY,
      declaredUm: 304_801,
      putup: null,
    }
    const mounting = {
      drum: 'D1',
      line: works.site.lines[1]!.id,
      intervals: [
        { fromUm: 0, toUm: endUm, use: 'end' as const },
        { fromUm: endUm, toUm: endUm + lengthUm, use: 'piece' as const, ...piece },
        { fromUm: endUm + lengthUm, toUm: 500e6, use: 'remnant' as const, putup: null },
      ],
    }
    return verifyPlan(works, { mountings: [mounting], unserved: [] }).broken.map((b) => b.rule)
  }
  // 71 · 304 800.6096 µm = 21 640 843.2816 µm, and two for rounding either way
  it.each([
    [21_640_841, ['length']],
    [21_640_842, []],
    [21_640_844, []],
    [21_640_845, []],
    [21_640_846, ['length']],
    [QTY * 304_801, ['length']],
  ])('of %i µm', (lengthUm, expected) => {
    expect(rules(lengthUm)).toEqual(expected)
  })
})

describe('what is credited', () => {
  it.each([
    // 304 800.6096 µm · 25 EUR/m, and never the micrometre that rounding added
    ['1.000002', 'lead', 7_620_015],
    ['1.000002', 'bulk', 7_620_015],
    // 304 800.3048 µm: a lead counts whole micrometres at or below what it takes
    ['1.000001', 'lead', 7_620_000],
    ['1.000001', 'bulk', 7_620_008],
  ] as const)('for %s ft of %s', async (length, kind, expected) => {
    const order =
      kind === 'lead'
        ? inFeet({ qty: 1, ...typed(length, 'ft') })
        : bulkRow({ order: '1', cable: CABLE, putup: 'C-380', ...typed(length, 'ft') })
    const works = worksOf([{ ...order, priceEur: 1000 }], 0)
    works.costs = { ...works.costs, materialCostEurM: { ...works.costs.materialCostEurM, [CABLE]: 25 } }
    const plan = await planned(works, CLOCK_SECONDS)
    expect(plan.unserved).toEqual([])
    expect(plan.deliveredMicro).toBe(expected)
    expect(plan.byCable.map((b) => b.deliveredMicro)).toEqual([expected])
  })
})

describe('a lead that is shorter than its connectors', () => {
  const { connectors } = kelderwick()
  const { part } = connectors.find((c) => c.cable === CABLE)!
  const ends = { connA: part, connB: part, lengthDefinition: 'tip_to_tip' as const }

  // without trim it took less than nothing; with trim it was cut from the trim
  it.each([0, 1, 1_000_000])('is left unserved, and that is proven: trim of %i µm', async (trimUm) => {
    const works = worksOf(
      [
        leadRow({ order: 'no', cable: CABLE, lengthUm: 3_048, qty: 2, ...ends }),
        leadRow({ order: 'yes', cable: CABLE, lengthUm: 500_000, qty: 2, ...ends }),
        bulkRow({ order: 'bulk', cable: CABLE, lengthUm: 50e6, putup: 'C-380', tolMinusPct: 5 }),
      ],
      trimUm,
    )
    const plan = await planned(works, CLOCK_SECONDS)
    expect(verifyClaims(works, plan).broken).toEqual([])
    expect(plan.unserved).toMatchObject([
      {
        order: 'no',
        pieces: 2,
        reason: 'The connectors are longer than the lead: there is no cable left to cut.',
        offer: null,
      },
    ])
    expect(plan.bound.unservedMicro).toBe(plan.unservedMicro)
  })

  it('breaks the rule of lengths in a plan that has it', () => {
    const works = worksOf([leadRow({ order: '1', cable: CABLE, lengthUm: 3_048, ...ends })], 1_000_000)
    const piece = { order: '1', orderLine: 1, piece: 1, part: 1, count: 1, declaredUm: 1, putup: null }
    const { outerEndLossProcessDrumUm: fromUm, leadTrimUm } = works.site.cutRules
    const toUm = fromUm + leadCutUm(3_048, 'tip_to_tip', ...endsOf(works, part)) + leadTrimUm
    const intervals: Interval[] = [
      { fromUm: 0, toUm: fromUm, use: 'end' },
      { fromUm, toUm, use: 'piece', ...piece },
      { fromUm: toUm, toUm: 500e6, use: 'remnant', putup: null },
    ]
    const mounting = { drum: 'D1', line: works.site.lines[1]!.id, intervals }
    const { broken } = verifyPlan(works, { mountings: [mounting], unserved: [] })
    expect(broken.map((b) => b.rule)).toEqual(['length'])
  })
})

function endsOf(works: PlanInput, part: string) {
  const connector = works.connectors.find((c) => c.part === part)!
  return [connector, connector] as const
}

describe('a cut length before it is rounded', () => {
  const digits = fc
    .array(fc.integer({ min: 0, max: 9 }), { minLength: 1, maxLength: 6 })
    .map((list) => list.join(''))

  it('is exact to the millionth of a metre or a foot, and rounds up to what is needed', () => {
    fc.assert(
      fc.property(digits, digits, fc.constantFrom('m' as const, 'ft' as const), (whole, decimals, unit) => {
        const millionths = BigInt(whole + decimals.padEnd(6, '0'))
        const fine = fineFromTyped(`${whole}.${decimals}`, unit)
        expect(BigInt(fine)).toBe(millionths * (unit === 'ft' ? 3_048n : 10_000n))
        expect(Math.ceil(fine / 10_000)).toBe(needUmFromTyped(`${whole}.${decimals}`, unit))
      }),
    )
  })

  it('less connectors of tenths of a millimetre is not rounded by their binary fractions', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 400 }), fc.integer({ min: 0, max: 400 }), (tenthsA, tenthsB) => {
        const [a, b] = [tenthsA, tenthsB].map((t) => ({ tipToCableEndMm: t / 10, tipToRefPlaneMm: 0 }))
        expect(leadCutFine(10_000_000_000, 'tip_to_tip', a!, b!)).toBe(
          10_000_000_000 - (tenthsA + tenthsB) * 1_000_000,
        )
        expect(leadCutUm(1_000_000, 'tip_to_tip', a!, b!)).toBe(1_000_000 - (tenthsA + tenthsB) * 100)
      }),
    )
  })
})
