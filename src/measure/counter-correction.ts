import type { CounterCheck } from './counter-check.ts'
import { counterReadings } from './counter-reading.ts'
import { sampleStats } from './sample-stats.ts'

/** How many of the last checks the correction rests on. */
export const CHECKS_USED = 10

/** What the checks of one line's counter against the tape say. */
export interface CounterCorrection {
  line: string
  /** How many checks went in; at most the last ten. */
  checks: number
  /** Mean of counter/tape − 1: above nought the counter reads long, and customers would be short. */
  errorRatio: number
  /** Standard deviation of one check, and standard error of the mean. */
  sdRatio: number
  standardErrorRatio: number
  /** Dates of the first and last check that went in. */
  from: string
  to: string
}

/**
 * The correction of each line's counter: mean error of its last ten checks, whatever the cable. null where there are
 * fewer than two checks: then nothing is known, and it is to be said so. Common practice of the trade for a counter that drifts slowly.
 * Checks that cannot be an error of a counter (feet against metres) are left out.
 */
export function counterCorrection(line: string, all: CounterCheck[]): CounterCorrection | null {
  const checks = counterReadings(line, all).readings.slice(-CHECKS_USED)
  const stats = sampleStats(checks.map((check) => check.errorRatio))
  if (stats.sd === null || stats.standardError === null) return null
  return {
    line,
    checks: stats.count,
    errorRatio: stats.mean,
    sdRatio: stats.sd,
    standardErrorRatio: stats.standardError,
    from: checks[0]!.date,
    to: checks[checks.length - 1]!.date,
  }
}
