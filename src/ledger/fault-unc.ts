import type { LengthUm } from '../quantity/length.ts'

/**
 * How well the place of a fault is known, greatest error: ±0.3 m where its mark was read, else ±(0.5 m + 0.2 % of the
 * distance since the last known mark). Common practice of the trade (TRADE §3); an estimate.
 */
export const MARK_UNC_UM = 300_000
const COUNTER_UNC_UM = 500_000
const COUNTER_UNC_RATIO = 0.002

/** Of a place that only a counter tells, so far since the last known mark. */
export function counterUncUm(sinceUm: LengthUm): LengthUm {
  return Math.round(COUNTER_UNC_UM + COUNTER_UNC_RATIO * sinceUm)
}
