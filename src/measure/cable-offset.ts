import type { CounterReading } from './counter-reading.ts'
import type { CounterTrend, TrendAt } from './counter-trend.ts'
import { sampleStats } from './sample-stats.ts'

/** How much further a counter errs with one cable type than with all together. */
export interface CableOffset {
  cable: string
  checks: number
  /** Mean of what its checks lie off the common trend, and the standard error of that mean. */
  meanRatio: number
  standardErrorRatio: number
  /** What to correct by beside the common error: the mean, drawn in towards nought as far as chance explains it. */
  offsetRatio: number
  /** Standard uncertainty of the offset. */
  offsetStandardRatio: number
}

export interface CableOffsets {
  /** Standard deviation between cable types; nought where chance explains all differences. */
  betweenRatio: number
  cables: CableOffset[]
}

/**
 * Calibration by cable type. A cable bends, slips and presses in its own way, so a counter may err differently with each; on a
 * wrapped wheel its radius counts in full. What lies between the types beyond chance is estimated by the method of moments (DerSimonian
 * and Laird 1986), and each type's mean is drawn in accordingly: types that differ by chance are not corrected apart.
 */
export function cableOffsets(readings: CounterReading[], trend: CounterTrend, now: TrendAt[]): CableOffsets {
  const levelOf = new Map(now.map((at) => [at.day, at.errorRatio]))
  const byCable = new Map<string, number[]>()
  for (const r of readings) {
    const off = r.errorRatio - (levelOf.get(r.day) ?? trend.today.errorRatio)
    const known = byCable.get(r.cable)
    if (known) known.push(off)
    else byCable.set(r.cable, [off])
  }
  const means = [...byCable].map(([cable, offs]) => {
    const { mean } = sampleStats(offs)
    return { cable, checks: offs.length, mean, variance: trend.noiseRatio ** 2 / offs.length }
  })
  const between = betweenVariance(means)
  const cables = means
    .map(({ cable, checks, mean, variance }) => {
      const share = between / (between + variance)
      return {
        cable,
        checks,
        meanRatio: mean,
        standardErrorRatio: Math.sqrt(variance),
        offsetRatio: mean * share,
        offsetStandardRatio: Math.sqrt(variance * share),
      }
    })
    .sort((a, b) => (a.cable < b.cable ? -1 : 1))
  return { betweenRatio: Math.sqrt(between), cables }
}

function betweenVariance(means: { mean: number; variance: number }[]): number {
  const weights = means.map((m) => 1 / m.variance)
  const total = weights.reduce((a, b) => a + b, 0)
  const mean = means.reduce((sum, m, i) => sum + (m.mean * weights[i]!) / total, 0)
  const q = means.reduce((sum, m, i) => sum + weights[i]! * (m.mean - mean) ** 2, 0)
  const scale = total - weights.reduce((sum, w) => sum + w * w, 0) / total
  return scale > 0 ? Math.max(0, (q - (means.length - 1)) / scale) : 0
}
