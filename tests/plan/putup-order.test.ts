import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { fewestChanges, orderPutups, type StretchPutups } from '../../src/plan/putup-order.ts'

const stretches = fc.array(
  fc.record({
    groups: fc.uniqueArray(fc.nat(4), { maxLength: 4 }),
    // a number beyond those of the pieces is a put-up that only remnants are wound on
    after: fc.option(fc.nat(5), { nil: null }),
  }),
  { maxLength: 4 },
)

/** What the mounting stands on already. */
const before = fc.option(fc.nat(5), { nil: null })

function permutations(list: number[]): number[][] {
  if (list.length <= 1) return [list]
  return list.flatMap((x, i) => permutations(list.filter((_, j) => j !== i)).map((rest) => [x, ...rest]))
}

/**
 * Changes along a drum by the works' rule: each change of put-up from one piece to the next, wind-offs included; the change to
 * a wind-off is part of the wind-off's own minutes.
 */
function changesOf(sequences: number[][], given: StretchPutups[], before: number | null): number {
  let last = before
  let changes = 0
  for (const [s, sequence] of sequences.entries()) {
    for (const group of sequence) {
      if (last !== null && last !== group) changes++
      last = group
    }
    last = given[s]!.after ?? last
  }
  return changes
}

function leastChanges(given: StretchPutups[], before: number | null): number {
  const walk = (done: number[][]): number => {
    const next = given[done.length]
    if (!next) return changesOf(done, given, before)
    return Math.min(...permutations(next.groups).map((p) => walk([...done, p])))
  }
  return walk([])
}

describe('the order of put-ups along a drum', () => {
  it('needs no more changes than any other order, and as many as are counted without one', () => {
    fc.assert(
      fc.property(stretches, before, (given, last) => {
        const sequences = orderPutups(given, () => '2031-03-10', last)
        expect(sequences.map((s) => [...s].sort())).toEqual(given.map((g) => [...g.groups].sort()))
        const least = leastChanges(given, last)
        expect(changesOf(sequences, given, last)).toBe(least)
        expect(fewestChanges(given, last)).toBe(least)
      }),
      { numRuns: 1_000, seed: 1 },
    )
  })

  it('among equals puts what is due sooner further out', () => {
    const due = (group: number) => ['2031-03-12', '2031-03-10', '2031-03-11'][group]!
    const one = [{ groups: [0, 1, 2], after: null }]
    expect(orderPutups(one, due, null)).toEqual([[1, 2, 0]])
    expect(orderPutups(one, due, 0)).toEqual([[0, 1, 2]])
  })
})
