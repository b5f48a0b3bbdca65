import type { CounterCorrection } from '../measure/counter-correction.ts'

/** How many standard errors the length guard should cover; two leave about 1 mean in 40 short. */
const STANDARD_ERRORS = 2

/**
 * By how much the works' length guard is smaller than two standard errors of the line's counter, as a ratio of length;
 * 0 where it is large enough, null where the counter's error is not known.
 */
export function guardShortfallRatio(guardRatio: number, correction: CounterCorrection | null): number | null {
  if (!correction) return null
  return Math.max(0, STANDARD_ERRORS * correction.standardErrorRatio - guardRatio)
}
