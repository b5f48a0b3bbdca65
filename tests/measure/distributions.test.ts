import { describe, expect, it, test } from 'vitest'
import { chiSquareAbove, chiSquareQuantile } from '../../src/measure/chi-square-distribution.ts'
import { normalBelow, normalQuantile } from '../../src/measure/normal-distribution.ts'
import { coverageFactor, studentQuantile, studentTail } from '../../src/measure/student-distribution.ts'
import { published, publishedAll } from './published.ts'

describe('coverage factors, GUM table G.2', () => {
  const table = publishedAll<{ p: number; nu: number }, number>('unc.t.0')
  test.each(table)('$id', ({ inputs, expected, tolerance }) => {
    expect(Math.abs(coverageFactor(inputs.p, inputs.nu) - expected)).toBeLessThanOrEqual(tolerance)
  })

  it('is the normal one where nothing is doubted', () => {
    const { inputs, expected, tolerance } = published<{ p: number }, number>('unc.t.inf')
    expect(Math.abs(coverageFactor(inputs.p, Infinity) - expected)).toBeLessThanOrEqual(tolerance)
  })
})

describe('quantiles', () => {
  // closed forms of Student's t worked to 50 digits: ν = 1 is tan(π(p − ½)), ν = 3 and 10 by their finite sums
  test.each([
    [0.975, 10, 2.228138851986275],
    [0.975, 1, 12.7062047361747],
    [0.9995, 3, 12.9239786366873],
  ])('t(%f; %i)', (p, freedom, expected) => {
    expect(Math.abs(studentQuantile(p, freedom) / expected - 1)).toBeLessThan(1e-13)
  })

  it('of chi-square with two degrees of freedom is −2 ln(1 − p), far out too', () => {
    for (const p of [1e-9, 0.05, 0.5, 0.95, 1 - 1e-12])
      expect(Math.abs(chiSquareQuantile(p, 2) / (-2 * Math.log1p(-p)) - 1)).toBeLessThan(1e-9)
  })

  it('and probability undo each other', () => {
    for (const z of [-7, -2, -0.3, 0.3, 2, 5])
      expect(normalQuantile(normalBelow(z))).toBeCloseTo(z, z > 4 ? 8 : 10)
    for (const freedom of [0.7, 1, 3.3, 16, 76, 4000])
      for (const t of [0.1, 1, 2.5, 6])
        expect(studentQuantile(1 - studentTail(t, freedom) / 2, freedom)).toBeCloseTo(t, 6)
    for (const freedom of [1, 2, 7.5, 200])
      for (const p of [0.001, 0.3, 0.99])
        expect(chiSquareAbove(chiSquareQuantile(p, freedom), freedom)).toBeCloseTo(1 - p, 12)
  })

  it('of what is no probability are no numbers', () => {
    for (const p of [0, 1, -0.1, 1.1, Number.NaN]) {
      expect(studentQuantile(p, 5)).toBeNaN()
      expect(normalQuantile(p)).toBeNaN()
    }
    expect(studentQuantile(0.9, 0)).toBeNaN()
    expect(chiSquareQuantile(1, 5)).toBeNaN()
  })
})
