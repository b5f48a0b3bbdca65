import type { CounterReading } from './counter-reading.ts'
import type { TrendAt } from './counter-trend.ts'
import { straightLine } from './straight-line.ts'
import { coverageFactor } from './student-distribution.ts'

/** A length that the counter shows too much whatever is measured: the way from counter to cutter, or a late start. */
export interface StartOffset {
  offsetM: number
  standardM: number
  /** Beyond what chance explains (95 %). Then a ratio alone cannot correct short and long pieces alike. */
  stands: boolean
}

/**
 * What is left of counter − tape once the common error of the day is taken out, as a straight line over the length of the tape: its value at
 * no length. null where all tapes are alike: then offset and ratio cannot be told apart.
 */
export function startOffset(readings: CounterReading[], path: TrendAt[]): StartOffset | null {
  const levelOf = new Map(path.map((at) => [at.day, at.errorRatio]))
  const line = straightLine(
    readings.map((r) => r.tapeM),
    readings.map((r) => r.tapeM * (r.errorRatio - (levelOf.get(r.day) ?? 0))),
  )
  if (!line) return null
  const { intercept, interceptSd, freedom } = line
  const stands = Math.abs(intercept) > coverageFactor(0.95, freedom) * interceptSd
  return { offsetM: intercept, standardM: interceptSd, stands }
}
