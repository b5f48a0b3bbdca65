import { cusum, ewma, shewhart } from './control-chart.ts'
import type { CounterReading } from './counter-reading.ts'
import type { CounterTrend } from './counter-trend.ts'
import { sampleStats } from './sample-stats.ts'

/** The first checks set the target: 20 single readings are the usual least (e-Handbook 6.3.2.2). */
const BASELINE_CHECKS = 20
/** Weight of the newest reading; 0.2 is the usual choice for small shifts (e-Handbook 6.3.2.4: 0.2 to 0.3). */
const EWMA_WEIGHT = 0.2
/** A drift is said where it is so many standard uncertainties from nought. */
const DRIFT_STANDARDS = 2

export interface CounterSignal {
  chart: 'shewhart' | 'ewma' | 'cusum' | 'drift'
  /** Date of the check that gave the signal first. */
  since: string
  /** The change began about here; where the chart tells. */
  began: string | null
  text: string
}

/** The charts themselves, for a drawing: one value per check, in standard deviations of a check over its own tape. */
export interface CounterCharts {
  targetRatio: number
  dates: string[]
  z: number[]
  shewhartLimit: number
  ewma: number[]
  ewmaLimit: number
  cusumUp: number[]
  cusumDown: number[]
  cusumLimit: number
  signals: CounterSignal[]
}

const CUSUM_LIMIT = 5

/**
 * Shewhart, EWMA and CUSUM of the checks against a target: the error that was accepted last, or the mean of the first 20 checks.
 * Each check counts in standard deviations for the tape it was made with. null below 20 checks without an accepted error, or
 * where they do not spread.
 */
export function counterCharts(
  readings: CounterReading[],
  trend: CounterTrend,
  acceptedRatio: number | null,
): CounterCharts | null {
  if (acceptedRatio === null && readings.length <= BASELINE_CHECKS) return null
  const targetRatio =
    acceptedRatio ?? sampleStats(readings.slice(0, BASELINE_CHECKS).map((r) => r.errorRatio)).mean
  const slipVar = trend.slipRatio ** 2
  const readVar = Math.max(0, trend.noiseRatio ** 2 - slipVar)
  const z = readings.map(
    (r) =>
      (r.errorRatio - targetRatio) / Math.sqrt(slipVar + readVar * (trend.referenceTapeM / r.tapeM) ** 2),
  )
  const single = shewhart(z)
  const weighted = ewma(z, EWMA_WEIGHT)
  const sums = cusum(z, 0.5, CUSUM_LIMIT)
  const date = (i: number) => readings[i]!.date
  const signals: CounterSignal[] = []
  const side = (value: number) => (value > 0 ? 'long' : 'short')
  if (single.firstSignal !== null)
    signals.push({
      chart: 'shewhart',
      since: date(single.firstSignal),
      began: null,
      text: `one check lies more than ${single.limit} standard deviations off: the counter reads ${side(z[single.firstSignal]!)}`,
    })
  if (weighted.firstSignal !== null)
    signals.push({
      chart: 'ewma',
      since: date(weighted.firstSignal),
      began: null,
      text: `the weighted mean has left its limits: the counter reads ${side(weighted.values[weighted.firstSignal]!)}`,
    })
  if (sums.firstSignal !== null)
    signals.push({
      chart: 'cusum',
      since: date(sums.firstSignal),
      began: sums.changeAt === null ? null : date(sums.changeAt),
      text: `small errors of one side add up: the counter reads ${sums.side === 'up' ? 'long' : 'short'}`,
    })
  return {
    targetRatio,
    dates: readings.map((r) => r.date),
    z,
    shewhartLimit: single.limit,
    ewma: weighted.values,
    ewmaLimit: weighted.limit,
    cusumUp: sums.up,
    cusumDown: sums.down,
    cusumLimit: CUSUM_LIMIT,
    signals,
  }
}

/** The drift itself as a signal; null where it may well be nought. */
export function driftSignal(trend: CounterTrend, lastDate: string): CounterSignal | null {
  const { slopePerDay, slopeStandardPerDay } = trend
  if (slopePerDay === null || slopeStandardPerDay === null) return null
  if (Math.abs(slopePerDay) <= DRIFT_STANDARDS * slopeStandardPerDay) return null
  return {
    chart: 'drift',
    since: lastDate,
    began: null,
    text: `the counter drifts: it reads ${slopePerDay > 0 ? 'longer' : 'shorter'} every day`,
  }
}
