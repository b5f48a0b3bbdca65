import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { balances, outOfBalanceUm } from '../../src/ledger/balance.ts'
import { bookBalances } from '../../src/ledger/book-balance.ts'
import type { MovementSum, StockDifference } from '../../src/ledger/movement-sum.ts'
import { byStrip } from '../../src/ledger/movement-sum.ts'
import { monthYields } from '../../src/ledger/yield.ts'

const M = 1_000_000
const MARCH = { from: '2031-03-01', to: '2031-04-01' }
const NO_STRIPS = new Map<string, never>()

function sum(what: MovementSum['what'], m: number, change: Partial<MovementSum> = {}): MovementSum {
  return { day: '2031-03-05', cable: 'C1', what, cause: null, um: Math.round(m * M), ...change }
}

function difference(change: Partial<StockDifference>): StockDifference {
  return {
    ...{ seq: 1, day: '2031-03-05', strip: 'D1', drum: 'D1', cable: 'C1', what: 'counted', um: 0 },
    ...{ varUm2: 0, line: null, shift: null },
    ...change,
  }
}

describe('balance', () => {
  it('is what a storeman reckons by hand', () => {
    const sums = [
      sum('received', 500, { day: '2031-02-10', cause: 'goods in' }),
      sum('received', 1000, { cause: 'goods in' }),
      sum('shipped', 600),
      sum('over-length', 1.2),
      sum('scrap', 12.5, { cause: 'fault' }),
      sum('scrap', 7, { cause: 'end' }),
      sum('trim', 3),
      sum('sample', 4),
      sum('returned', 100),
      sum('book error', -2.3),
      sum('shipped', 50, { day: '2031-04-01' }),
    ]
    const [b] = balances({ sums, differences: [], emptied: [], strips: NO_STRIPS }, MARCH)
    expect(b).toMatchObject({
      ...{ openingUm: 500 * M, receivedUm: 1000 * M, returnedUm: 100 * M, shippedUm: 600 * M },
      ...{ samplesUm: 4 * M, trimsUm: 3 * M, overLengthUm: 1.2 * M, unexplainedUm: 2.3 * M },
      // 500 + 1000 + 100 − 600 − 1.2 − 19.5 − 3 − 4 − 2.3
      closingUm: 970 * M,
      scrap: [
        { cause: 'fault', um: 12.5 * M },
        { cause: 'end', um: 7 * M },
      ],
    })
  })

  it('takes what the ledger began with as opening stock', () => {
    const sums = [sum('received', 800, { cause: 'opening' }), sum('received', 200, { cause: 'goods in' })]
    const [b] = balances({ sums, differences: [], emptied: [], strips: NO_STRIPS }, MARCH)
    expect(b).toMatchObject({ openingUm: 800 * M, receivedUm: 200 * M, closingUm: 1000 * M })
  })

  it('counts a count once: the last one, until the drum is measured anew or is empty', () => {
    const sums = [sum('received', 100, { day: '2031-02-01', cause: 'goods in' })]
    const twice = [difference({ seq: 1, um: -2 * M }), difference({ seq: 2, um: -3 * M, day: '2031-03-20' })]
    const of = (differences: StockDifference[], emptied: { drum: string; day: string }[] = []) =>
      balances({ sums, differences, emptied, strips: NO_STRIPS }, MARCH)[0]!
    expect(of(twice)).toMatchObject({ closingUm: 97 * M, unexplainedUm: 3 * M })
    expect(of([...twice, difference({ seq: 3, what: 'measured', um: 0, day: '2031-03-21' })])).toMatchObject({
      closingUm: 100 * M,
      unexplainedUm: 0,
    })
    expect(of(twice, [{ drum: 'D1', day: '2031-03-25' }])).toMatchObject({ closingUm: 100 * M })
  })

  it('closes to the micrometre, and each period opens with what the last one closed with', () => {
    const whats = [
      'received',
      'shipped',
      'over-length',
      'scrap',
      'trim',
      'sample',
      'returned',
      'book error',
    ] as const
    const day = fc
      .integer({ min: 1, max: 90 })
      .map((d) => new Date(Date.UTC(2031, 0, d)).toISOString().slice(0, 10))
    const aSum = fc.record({
      ...{ day, cable: fc.constantFrom('C1', 'C2'), what: fc.constantFrom(...whats) },
      cause: fc.constantFrom(null, 'goods in', 'end', 'fault'),
      um: fc.integer({ min: -1e12, max: 1e12 }),
    })
    const aCount = fc.record({
      ...{ seq: fc.integer({ min: 1, max: 1000 }), day, strip: fc.constantFrom('D1', 'D2') },
      ...{ drum: fc.constantFrom('D1', 'D2', 'R1'), cable: fc.constantFrom('C1', 'C2') },
      ...{
        what: fc.constantFrom('counted' as const, 'measured' as const),
        um: fc.integer({ min: -1e9, max: 1e9 }),
      },
      ...{ varUm2: fc.integer({ min: 0, max: 1e9 }), line: fc.constant(null), shift: fc.constant(null) },
    })
    fc.assert(
      fc.property(
        fc.array(aSum, { maxLength: 60 }),
        fc.array(aCount, { maxLength: 20 }),
        (sums, differences) => {
          const measured = { sums, differences, emptied: [], strips: NO_STRIPS }
          const january = balances(measured, { from: '2031-01-01', to: '2031-02-01' })
          const february = balances(measured, { from: '2031-02-01', to: '2031-03-01' })
          for (const b of [...january, ...february]) expect(outOfBalanceUm(b)).toBe(0)
          for (const b of january)
            expect(february.find((f) => f.cable === b.cable)?.openingUm).toBe(b.closingUm)
        },
      ),
      { seed: 7, numRuns: 300 },
    )
  })
})

describe('uncertainty of what nobody booked', () => {
  it('adds by squares what was booked with the measurements', () => {
    const found = byStrip(
      [
        difference({ seq: 1, what: 'measured', um: 3 * M, varUm2: 3e10 ** 2 / 1e10 }),
        difference({ seq: 2, what: 'measured', um: -1 * M, varUm2: 16e10 }),
      ],
      NO_STRIPS,
    )
    // √(9e10 + 16e10) = 5e5
    expect(found).toEqual([{ strip: 'D1', um: 2 * M, uncUm: 500_000 }])
  })

  it('of many cuts counts the reading of two marks only, and the received length as far as it was cut', () => {
    const cuts = Array.from({ length: 20 }, (_, i) =>
      difference({ seq: i, what: 'cuts', drum: null, um: i % 2 ? 200_000 : -200_000 }),
    )
    const strips = new Map([['D1', { receivedUncUm: 1_000_000, cutRatio: 0.5 }]])
    const [found] = byStrip(cuts, strips)
    expect(found?.um).toBe(0)
    // 2·(0.3 m/√3)² + (1 m · 0.5)² = 0.06 + 0.25 m²
    expect(found?.uncUm).toBeCloseTo(Math.sqrt(0.31) * M, 0)
  })
})

describe('books of before', () => {
  it('are judged by √Σ(uᵢLᵢ)²', () => {
    const month = {
      ...{ cable: 'C1', month: '2031-02', openingM: 3000, receivedM: 4000, shippedM: 0 },
      ...{ scrapM: 0, samplesM: 0, closingCountedM: 6990 },
    }
    const [b] = bookBalances([month], { counterRatio: 0.001, bookRatio: 0.001 })
    expect(b?.unexplainedM).toBe(10)
    // √(3² + 4² + 6.99²) by hand
    expect(b?.unexplainedUncM).toBeCloseTo(8.594, 3)
    expect(b?.chance).toBeCloseTo(0.2446, 3)
  })
})

describe('yield', () => {
  it('is what was shipped over all that went, and its loss in money', () => {
    const [march] = monthYields(
      [
        sum('shipped', 900),
        sum('scrap', 60, { cause: 'fault' }),
        sum('trim', 20),
        sum('over-length', 20),
        sum('received', 5000),
      ],
      { C1: 0.5 },
    )
    expect(march).toMatchObject({ month: '2031-03', yieldRatio: 0.9, lostEur: 50 })
    expect(march?.eurPerKm).toBeCloseTo(50 / 0.9, 6)
    expect(march?.byCause.map((c) => [c.cause, c.eur])).toEqual([
      ['fault', 30],
      ['trims', 10],
      ['over-length', 10],
    ])
  })
})
