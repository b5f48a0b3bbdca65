/** One chart's value at each reading, and the first reading (from 0) beyond its limits. */
export interface ChartLine {
  values: number[]
  /** What an absolute value beyond means a signal; for EWMA from the target. */
  limit: number
  firstSignal: number | null
}

const beyond = (values: number[], limit: number): number | null => {
  const at = values.findIndex((v) => Math.abs(v) > limit)
  return at < 0 ? null : at
}

/** Single readings in standard deviations from the target; ±3 after Shewhart (NIST/SEMATECH e-Handbook 6.3.2.2). */
export function shewhart(z: number[], width = 3): ChartLine {
  return { values: z, limit: width, firstSignal: beyond(z, width) }
}

/**
 * Exponentially weighted mean of the readings, its limits width·√(λ/(2 − λ)) (e-Handbook 6.3.2.4; the limit of a chart that has run
 * for a while: at its start it is on the wide side).
 */
export function ewma(z: number[], lambda: number, width = 3): ChartLine {
  const values: number[] = []
  let mean = 0
  for (const x of z) {
    mean = lambda * x + (1 - lambda) * mean
    values.push(mean)
  }
  const limit = width * Math.sqrt(lambda / (2 - lambda))
  return { values, limit, firstSignal: beyond(values, limit) }
}

export interface Cusum {
  up: number[]
  down: number[]
  /** First reading at which either sum passes the limit. */
  firstSignal: number | null
  side: 'up' | 'down' | null
  /** Where the sum that signalled last left nought: the change began there. */
  changeAt: number | null
}

/** Tabular cumulative sums, C⁺ = max(0, z − k + C⁺), C⁻ likewise; signal above h (e-Handbook 6.3.2.3; k ½ and h 5 in standard deviations). */
export function cusum(z: number[], slack = 0.5, limit = 5): Cusum {
  const up: number[] = []
  const down: number[] = []
  let high = 0
  let low = 0
  let firstSignal: number | null = null
  let side: 'up' | 'down' | null = null
  for (const [i, x] of z.entries()) {
    high = Math.max(0, high + x - slack)
    low = Math.max(0, low - x - slack)
    up.push(high)
    down.push(low)
    if (firstSignal === null && Math.max(high, low) > limit) {
      firstSignal = i
      side = high > limit ? 'up' : 'down'
    }
  }
  return { up, down, firstSignal, side, changeAt: changeBefore(side === 'up' ? up : down, firstSignal) }
}

function changeBefore(sums: number[], signal: number | null): number | null {
  if (signal === null) return null
  let at = signal
  while (at > 0 && sums[at - 1]! > 0) at--
  return at
}

/** Limits of a chart of counts (faults per drum, per km): c̄ ± 3√c̄, the lower no less than nought. */
export function countLimits(mean: number): { lower: number; upper: number } {
  return { lower: Math.max(0, mean - 3 * Math.sqrt(mean)), upper: mean + 3 * Math.sqrt(mean) }
}

/** Limits of a chart of shares, n pieces a sample: p̄ ± 3√(p̄(1 − p̄)/n), within 0 and 1. */
export function shareLimits(mean: number, sample: number): { lower: number; upper: number } {
  const width = 3 * Math.sqrt((mean * (1 - mean)) / sample)
  return { lower: Math.max(0, mean - width), upper: Math.min(1, mean + width) }
}
