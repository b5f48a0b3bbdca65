import { describe, expect, it } from 'vitest'
import { countLimits, cusum, ewma, shareLimits, shewhart } from '../../src/measure/control-chart.ts'
import { published } from './published.ts'

interface Series {
  x: number[]
  target: number
}

describe('control charts', () => {
  it('spc.cusum: upper sums and the reading that signals', () => {
    const { inputs, expected, tolerance } = published<Series & { K: number; H: number }, number[]>(
      'spc.cusum.plus',
    )
    const { up, down, firstSignal, side, changeAt } = cusum(
      inputs.x.map((x) => x - inputs.target),
      inputs.K,
      inputs.H,
    )
    for (const [i, value] of expected.entries())
      expect(Math.abs(up[i]! - value)).toBeLessThanOrEqual(tolerance)
    expect(Math.min(...down)).toBeGreaterThanOrEqual(0)
    expect(firstSignal! + 1).toBe(published<unknown, number>('spc.cusum.signal').expected)
    expect(side).toBe('up')
    // the sum last stood at nought at reading 22: the change is dated to the next one
    expect(changeAt! + 1).toBe(23)
  })

  it('spc.ewma.textbook: the weighted mean, and signals at 29 and 30 with limits of 2.7', () => {
    const { inputs, expected, tolerance } = published<
      { lambda: number; start: number; x: number[] },
      number[]
    >('spc.ewma.textbook')
    const chart = ewma(
      inputs.x.map((x) => x - inputs.start),
      inputs.lambda,
      2.7,
    )
    for (const [i, value] of expected.entries())
      expect(Math.abs(chart.values[i]! + inputs.start - value)).toBeLessThanOrEqual(tolerance)
    expect(chart.firstSignal! + 1).toBe(29)
  })

  it('spc.nist.ewma-limits', () => {
    const { inputs, expected, tolerance } = published<Record<string, number>, { ucl: number; lcl: number }>(
      'spc.nist.ewma-limits',
    )
    const { limit } = ewma([], inputs.lambda!, inputs.k!)
    expect(Math.abs(inputs.mean! + limit * inputs.s! - expected.ucl)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(inputs.mean! - limit * inputs.s! - expected.lcl)).toBeLessThanOrEqual(tolerance)
  })

  it('a fall signals downwards, a single far reading on the first chart', () => {
    expect(cusum(Array.from({ length: 12 }, () => -1)).side).toBe('down')
    expect(shewhart([0, 2.9, -3.1]).firstSignal).toBe(2)
    expect(shewhart([0, 2.9, -3]).firstSignal).toBeNull()
  })

  it('spc.pchart', () => {
    const { inputs, expected, tolerance } = published<{ p: number; n: number }, { ucl: number; lcl: number }>(
      'spc.pchart',
    )
    const { lower, upper } = shareLimits(inputs.p, inputs.n)
    expect(Math.abs(upper - expected.ucl)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(lower - expected.lcl)).toBeLessThanOrEqual(tolerance)
  })

  it('counts: a mean of 19.85 has limits of 33.22 and 6.48 (textbook SQC example, as in jchester/spc-kit)', () => {
    const { lower, upper } = countLimits(19.85)
    expect(upper).toBeCloseTo(33.22, 1)
    expect(lower).toBeCloseTo(6.48, 1)
    expect(countLimits(1).lower).toBe(0)
  })
})
