import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { highsEngine } from '../../src/solver/highs-engine.ts'

const COLUMNS = 8

/** A figure of any size up to so many powers of ten. */
function wild(most: number): fc.Arbitrary<number> {
  return fc
    .tuple(
      fc.double({ min: -0.3, max: 0.7, noNaN: true }),
      fc.double({ min: -most / 2, max: most, noNaN: true }),
    )
    .map(([share, power]) => share * 10 ** power)
}

/** Programs whose figures lie so far apart that the library gives up on some of them. */
const anyProgram = fc.array(
  fc.record({
    lower: fc.option(
      wild(20).map((v) => Math.abs(v)),
      { nil: Number.NEGATIVE_INFINITY },
    ),
    upper: fc.option(
      wild(20).map((v) => Math.abs(v)),
      { nil: Number.POSITIVE_INFINITY },
    ),
    cost: wild(22),
    values: fc.array(wild(9), { minLength: COLUMNS, maxLength: COLUMNS }),
  }),
  { minLength: 3, maxLength: 8 },
)

describe('the linear-programming library', () => {
  it('answers or has no answer, whatever the figures: it takes no plan down with it', async () => {
    const engine = await highsEngine()
    let answered = 0
    fc.assert(
      fc.property(anyProgram, (all) => {
        const lp = engine.create()
        const rows = all.map(({ lower, upper }) => lp.addRow(lower, upper))
        for (let c = 0; c < COLUMNS; c++)
          lp.addColumn(
            all[c % all.length]!.cost,
            0,
            Number.POSITIVE_INFINITY,
            rows,
            all.map(({ values }) => values[c]!),
          )
        const solved = lp.solve()
        lp.dispose()
        if (!solved) return
        answered++
        expect(solved.values).toHaveLength(COLUMNS)
      }),
      { seed: 1, numRuns: 400 },
    )
    expect(answered).toBeGreaterThan(20)
  })

  it('solves the diet of two foods: 2 x + 3 y least with x + y ≥ 4 and x + 3 y ≥ 6, by hand x = 3, y = 1', async () => {
    const lp = (await highsEngine()).create()
    const rows = [lp.addRow(4, Number.POSITIVE_INFINITY), lp.addRow(6, Number.POSITIVE_INFINITY)]
    lp.addColumn(2, 0, Number.POSITIVE_INFINITY, rows, [1, 1])
    lp.addColumn(3, 0, Number.POSITIVE_INFINITY, rows, [1, 3])
    const solved = lp.solve()!
    expect(solved.objective).toBeCloseTo(9, 9)
    expect(solved.values[0]).toBeCloseTo(3, 9)
    expect(solved.values[1]).toBeCloseTo(1, 9)
    // the prices of the two needs, by hand from the two foods: p + q = 2, p + 3 q = 3
    expect(solved.duals[0]).toBeCloseTo(1.5, 9)
    expect(solved.duals[1]).toBeCloseTo(0.5, 9)
    lp.dispose()
  })
})
