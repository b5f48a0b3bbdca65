import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { RelaxedFill } from '../../src/plan/relaxed-fill.ts'
import { type Offered, StretchFill, type Taken } from '../../src/plan/stretch-fill.ts'

interface Case {
  lengthUm: number
  cellUm: number
  offered: Offered[]
  changes: number[]
}

const LEAST_PROFIT = -5

/** Small enough to try every filling; lengths are whole, some of them multiples of the cell. */
function caseOf(shrinkable: boolean): fc.Arbitrary<Case> {
  const piece = fc.record({
    group: fc.nat(2),
    cap: fc.integer({ min: 1, max: 3 }),
    cutUm: fc.integer({ min: 6, max: 60 }),
    profit: fc.integer({ min: LEAST_PROFIT, max: 60 }),
    shorterUm: fc.nat(8),
    lossPerUm: fc.integer({ min: 0, max: 3 }),
    shrinks: fc.boolean(),
  })
  return fc
    .record({
      lengthUm: fc.integer({ min: 0, max: 120 }),
      cellUm: fc.integer({ min: 1, max: 7 }),
      pieces: fc.array(piece, { minLength: 1, maxLength: 4 }),
      changes: fc.array(fc.nat(20), { minLength: 3, maxLength: 3 }),
    })
    .map(({ lengthUm, cellUm, pieces, changes }) => ({
      lengthUm,
      cellUm,
      changes,
      offered: pieces
        .map((p, item) => ({
          item,
          option: 0,
          group: p.group,
          cap: p.cap,
          cutUm: p.cutUm,
          profit: p.profit,
          shrink:
            shrinkable && p.shrinks && p.shorterUm > 0
              ? { leastCutUm: Math.max(1, p.cutUm - p.shorterUm), lossPerUm: p.lossPerUm }
              : null,
        }))
        .sort((a, b) => a.group - b.group),
    }))
}

function changesOf(changes: number[], groups: Iterable<number>): number {
  return [...new Set(groups)].reduce((sum, g) => sum + changes[g]!, 0)
}

/** The true optimum for what fits into `roomUm` exactly, every number of copies and every shortening tried. */
function optimum({ offered, changes }: Case, roomUm: number): number {
  let best = 0
  const walk = (i: number, roomUm: number, profit: number, groups: number[]): void => {
    const o = offered[i]
    if (!o) {
      best = Math.max(best, profit - changesOf(changes, groups))
      return
    }
    walk(i + 1, roomUm, profit, groups)
    const leastUm = o.shrink?.leastCutUm ?? o.cutUm
    for (let n = 1; n <= o.cap; n++)
      // n copies shortened by s in all: what each is shortened by is no matter, since the loss is linear
      for (let s = 0; s <= n * (o.cutUm - leastUm); s++) {
        const usedUm = n * o.cutUm - s
        if (usedUm <= roomUm)
          walk(i + 1, roomUm - usedUm, profit + n * o.profit - s * (o.shrink?.lossPerUm ?? 0), [
            ...groups,
            o.group,
          ])
      }
  }
  walk(0, roomUm, 0, [])
  return best
}

function filled<Fill extends StretchFill | RelaxedFill>(fill: Fill, given: Case): Fill {
  fill.run(given.lengthUm, given.cellUm, given.offered, (g) => given.changes[g]!)
  return fill
}

/** What the dearest pieces by length earn, the last in part, no change of put-up paid. */
function fluidWorth({ offered }: Case, roomUm: number): number {
  let leftUm = roomUm
  let worth = 0
  for (const o of [...offered].sort((a, b) => b.profit / b.cutUm - a.profit / a.cutUm)) {
    const count = Math.min(o.cap, leftUm / o.cutUm)
    worth += count * Math.max(0, o.profit)
    leftUm -= count * o.cutUm
  }
  return worth
}

function worthOf({ offered, changes }: Case, taken: Taken[]): number {
  let worth = -changesOf(
    changes,
    taken.map((t) => t.group),
  )
  for (const t of taken) {
    const o = offered.find((x) => x.item === t.item)!
    worth += t.count * (o.profit - (o.cutUm - t.cutUm) * (o.shrink?.lossPerUm ?? 0))
  }
  return worth
}

describe.each([
  ['of fixed length', false],
  ['some of which may be shorter', true],
])('filling a stretch with pieces %s', (_, shrinkable) => {
  it('for plans: what is taken fits, keeps to its caps and earns what is claimed, no more than the optimum', () => {
    fc.assert(
      fc.property(caseOf(shrinkable), (given) => {
        const fill = filled(new StretchFill(), given)
        for (let x = 0; x <= fill.cells; x++) {
          const taken = fill.taken(x)
          for (const o of given.offered) {
            const mine = taken.filter((t) => t.item === o.item)
            expect(mine.reduce((sum, t) => sum + t.count, 0)).toBeLessThanOrEqual(o.cap)
            for (const t of mine) {
              expect(t.cutUm).toBeLessThanOrEqual(o.cutUm)
              expect(t.cutUm).toBeGreaterThanOrEqual(o.shrink?.leastCutUm ?? o.cutUm)
            }
          }
          const usedUm = taken.reduce((sum, t) => sum + t.count * t.cutUm, 0)
          expect(usedUm).toBeLessThanOrEqual(x * given.cellUm)
          expect(worthOf(given, taken)).toBeGreaterThanOrEqual(fill.best[x]! - 1e-6)
          expect(fill.best[x]!).toBeLessThanOrEqual(optimum(given, x * given.cellUm) + 1e-6)
        }
      }),
      { numRuns: 150, seed: 1 },
    )
  })

  it('for plans: reaches the optimum where each cell is a micrometre', () => {
    fc.assert(
      fc.property(caseOf(shrinkable), (given) => {
        const fine = { ...given, cellUm: 1 }
        const fill = filled(new StretchFill(), fine)
        expect(fill.best[fill.cells]!).toBeCloseTo(optimum(fine, fine.lengthUm), 6)
      }),
      { numRuns: 150, seed: 2 },
    )
  })

  it('for bounds: never claims less than the optimum, and what it takes earns what it claims', () => {
    fc.assert(
      fc.property(caseOf(shrinkable), (given) => {
        const fill = filled(new RelaxedFill(), given)
        for (let x = 0; x <= fill.cells; x++) {
          // the last micrometre before the next cell still counts to this one
          const roomUm = Math.min(given.lengthUm, (x + 1) * given.cellUm - 1)
          expect(fill.best[x]!).toBeGreaterThanOrEqual(optimum(given, roomUm) - 1e-6)
          // or prices would be found from fillings that earn otherwise
          expect(worthOf(given, fill.taken(x))).toBeCloseTo(fill.best[x]!, 6)
        }
      }),
      { numRuns: 250, seed: 3 },
    )
  })

  it('for bounds: short pieces earn no less than whole ones and no more than a fluid with a cell more for each', () => {
    fc.assert(
      fc.property(caseOf(false), fc.integer({ min: 60, max: 200 }), (given, times) => {
        // all pieces are short beside such a stretch
        const long = { ...given, lengthUm: given.lengthUm * times, cellUm: given.cellUm * times }
        const { best, cells } = filled(new RelaxedFill(), long)
        expect(best[cells]!).toBeGreaterThanOrEqual(optimum(long, long.lengthUm) - 1e-6)
        // a length is rounded down at most once for each piece, and a fluid once for each put-up
        const rounded = long.offered.reduce((sum, o) => sum + o.cap, 1)
        expect(best[cells]!).toBeLessThanOrEqual(fluidWorth(long, (cells + rounded) * long.cellUm) + 1e-6)
      }),
      { numRuns: 100, seed: 5 },
    )
  })
})

describe.each([
  ['plans', () => new StretchFill()],
  ['bounds', () => new RelaxedFill()],
])('one filler for %s used again', (_, make) => {
  it('finds the same as a fresh one, whatever it was used for before', () => {
    const used = make()
    fc.assert(
      fc.property(caseOf(true), (given) => {
        filled(used, given)
        const fresh = filled(make(), given)
        expect(used.cells).toBe(fresh.cells)
        for (let x = 0; x <= fresh.cells; x++) {
          expect(used.best[x]).toBe(fresh.best[x])
          expect(used.taken(x)).toEqual(fresh.taken(x))
        }
      }),
      { numRuns: 60, seed: 4 },
    )
  })
})
