import fc from 'fast-check'
import { expect, it } from 'vitest'
import { ConcaveSum } from '../../src/plan/concave-sum.ts'

/** Numbers that grow by the steps given. */
function grown(steps: number[]): Float64Array {
  let sum = 0
  return Float64Array.from(steps, (step) => {
    sum += step
    return sum
  })
}

it('is the most that two functions add up to, as trying every pair finds it', () => {
  const sum = new ConcaveSum()
  const steps = fc.array(fc.tuple(fc.nat(9), fc.nat(9)), { minLength: 1, maxLength: 60 })
  fc.assert(
    fc.property(steps, (pairs) => {
      const base = grown(pairs.map(([step]) => step))
      const gain = grown(pairs.map(([, step]) => step).sort((a, b) => b - a))
      const n = pairs.length
      const out = new Float64Array(n)
      const from = new Int32Array(n)
      sum.run(base, gain, n, out, from, 0)
      for (let x = 0; x < n; x++) {
        let most = Number.NEGATIVE_INFINITY
        for (let y = 0; y <= x; y++) most = Math.max(most, base[y]! + gain[x - y]!)
        expect(out[x]).toBe(most)
        expect(base[from[x]!]! + gain[x - from[x]!]!).toBe(most)
      }
    }),
    { numRuns: 300, seed: 1 },
  )
})
