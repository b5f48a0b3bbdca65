import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { setsInBoxes } from '../../src/lead/set-boxes.ts'
import { rescuedSets, type Trimmable, trimInto } from '../../src/lead/set-rescue.ts'
import { hitProbability, mmPerUnit } from '../../src/lead/set-trim.ts'
import { setsInWindow } from '../../src/lead/set-window.ts'
import values from './bench-values.json' with { type: 'json' }
import { triedSets } from './brute-sets.ts'

const width = (set: number[], of: number[]) =>
  Math.max(...set.map((i) => of[i]!)) - Math.min(...set.map((i) => of[i]!))

/** Few values on a coarse grid, so that ties and windows met exactly come up often. */
const few = (most: number) => fc.array(fc.integer({ min: 0, max: 14 }), { minLength: 0, maxLength: most })

describe('sets on a line', () => {
  test('are as many, as narrow and as narrow in sum as the best of every choice', () => {
    fc.assert(
      fc.property(
        few(9),
        fc.integer({ min: 2, max: 4 }),
        fc.integer({ min: 0, max: 6 }),
        (of, size, window) => {
          const { sets, mostPossible } = setsInWindow(of, size, window)
          const tried = triedSets(
            of.map((v) => [v]),
            size,
            [window],
          )
          const widths = sets.map((set) => width(set, of))
          expect([mostPossible, sets.length]).toEqual([tried.most, tried.most])
          expect(Math.max(0, ...widths)).toBe(tried.widest)
          expect(widths.reduce((sum, w) => sum + w, 0)).toBe(tried.sum)
        },
      ),
      { numRuns: 400, seed: 5 },
    )
  })

  test('use each lead once, hold their size and their window', () => {
    const reals = fc.array(fc.double({ min: 0, max: 40, noNaN: true }), { maxLength: 120 })
    fc.assert(
      fc.property(
        reals,
        fc.integer({ min: 2, max: 6 }),
        fc.double({ min: 0, max: 5, noNaN: true }),
        (of, size, window) => {
          const { sets } = setsInWindow(of, size, window)
          expect(new Set(sets.flat()).size).toBe(sets.length * size)
          for (const set of sets) {
            expect(set.length).toBe(size)
            expect(width(set, of)).toBeLessThanOrEqual(window + 1e-6)
          }
        },
      ),
      { seed: 6 },
    )
  })

  test('sorting finds sets where the order of the serials has none', () => {
    const of = [0, 20, 40, 1, 21, 41, 2, 22, 42]
    expect(setsInWindow(of, 3, 2).sets).toEqual([
      [0, 3, 6],
      [1, 4, 7],
      [2, 5, 8],
    ])
  })

  test('greedy nearest pairs would lose a set: the proof is in the sweep', () => {
    // the nearest two, 2 and 3, taken first would leave 0 and 5 alone
    expect(setsInWindow([0, 2, 3, 5], 2, 2).sets.length).toBe(2)
  })
})

describe('sets that agree in two quantities', () => {
  test('are as many as the best of every choice, and proven so', () => {
    const points = fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 })), {
      maxLength: 9,
    })
    fc.assert(
      fc.property(
        points,
        fc.integer({ min: 2, max: 3 }),
        fc.integer({ min: 0, max: 4 }),
        fc.integer({ min: 0, max: 4 }),
        (of, size, w1, w2) => {
          const { sets, mostPossible } = setsInBoxes(of, size, [w1, w2], 1e6)
          expect([sets.length, mostPossible]).toEqual([triedSets(of, size, [w1, w2]).most, sets.length])
          expect(new Set(sets.flat()).size).toBe(sets.length * size)
          for (const set of sets)
            for (const [d, window] of [w1, w2].entries())
              expect(
                width(
                  set,
                  of.map((p) => p[d]!),
                ),
              ).toBeLessThanOrEqual(window)
        },
      ),
      { numRuns: 300, seed: 7 },
    )
  })

  test('stopped early they say what could not be ruled out, never too little', () => {
    const points = fc.array(fc.tuple(fc.integer({ min: 0, max: 9 }), fc.integer({ min: 0, max: 9 })), {
      maxLength: 9,
    })
    fc.assert(
      fc.property(points, fc.integer({ min: 1, max: 4 }), (of, states) => {
        const { most } = triedSets(of, 2, [2, 2])
        const { sets, mostPossible } = setsInBoxes(of, 2, [2, 2], states)
        expect(sets.length).toBeLessThanOrEqual(most)
        expect(mostPossible).toBeGreaterThanOrEqual(most)
      }),
      { numRuns: 300, seed: 8 },
    )
  })
})

describe('trims', () => {
  const lead = (index: number, value: number, leastTrim: number | null): Trimmable => ({
    ...{ index, value, leastTrim },
    finished: leastTrim !== 0,
  })

  test('millimetres for a degree: a quarter wave and the check value', () => {
    const { inputs, expected } = values.mmPerDegree
    expect(mmPerUnit({ unit: 'deg', fMhz: inputs.fGhz * 1_000 }, inputs.velocity)).toBeCloseTo(expected, 6)
    const quarter = values.quarterWave
    expect(90 * mmPerUnit({ unit: 'deg', fMhz: quarter.inputs.fMhz }, quarter.inputs.velocity)).toBeCloseTo(
      1_000 * quarter.expected,
      0,
    )
    // a turn of phase at a frequency is a delay of one period
    expect(360 * mmPerUnit({ unit: 'deg', fMhz: 1_000 }, 0.8)).toBeCloseTo(
      1_000 * mmPerUnit({ unit: 'ps' }, 0.8),
      9,
    )
  })

  test('only ever shorten, land inside the window, and take off at least what a connector does', () => {
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.integer({ min: 0, max: 60 }), fc.constantFrom(0, 7, null)), { maxLength: 16 }),
        fc.integer({ min: 1, max: 6 }),
        (of, window) => {
          const leads = of.map(([value, least], i) => lead(i, value, least))
          const sets = rescuedSets(leads, 3, window)
          expect(new Set(sets.flatMap(({ members }) => members)).size).toBe(3 * sets.length)
          for (const { members, trims } of sets) {
            const off = new Map(trims.map((trim) => [trim.index, trim.by]))
            for (const [i, by] of off) expect(by).toBeGreaterThanOrEqual(leads[i]!.leastTrim!)
            const ends = members.map((i) => leads[i]!.value - (off.get(i) ?? 0))
            expect(Math.max(...ends) - Math.min(...ends)).toBeLessThanOrEqual(window + 1e-9)
          }
        },
      ),
      { seed: 9 },
    )
  })

  test('an open end is trimmed to the middle, a finished lead no nearer than its connector lets it', () => {
    expect(trimInto(lead(0, 20, 0), 10, 14)).toEqual({ index: 0, by: 8, below: 2, above: 2 })
    expect(trimInto(lead(0, 20, 9), 10, 14)).toEqual({ index: 0, by: 9, below: 1, above: 3 })
    expect(trimInto(lead(0, 20, 11), 10, 14)).toBeNull()
    expect(trimInto(lead(0, 9, 0), 10, 14)).toBeNull()
    expect(trimInto(lead(0, 12, null), 10, 14)?.by).toBe(0)
  })

  test('the chance to end inside is that of the normal law', () => {
    const { expected, tolerance } = values.normalWithin
    expect(Math.abs(hitProbability(2, 2, 1) - expected)).toBeLessThan(tolerance)
    expect(hitProbability(0, 100, 1)).toBeCloseTo(0.5, 9)
  })
})
