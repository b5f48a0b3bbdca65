import type { LimitRule } from './line-limit.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'
import { dwellSpeedMPerS } from './spark-test.ts'
import { dancerCableM } from './winding-tension.ts'

const SECONDS_PER_MIN = 60

/** Cable that the dancer can give out or take up before it reaches a limit, m; the smaller, since which end is which depends on how it is hung. */
export function dancerRoomM(inputs: KnownInputs): number {
  const { dancerCentrePct, dancerLowPct, dancerHighPct, dancerTravelM, dancerFalls } = inputs
  const pct = Math.min(dancerCentrePct - dancerLowPct, dancerHighPct - dancerCentrePct)
  return dancerCableM((pct / 100) * dancerTravelM, dancerFalls)
}

/** What the speed must not exceed, m/min, whatever the length. */
export function speedRules(inputs: KnownInputs): LimitRule[] {
  const { sparkHz, minDwellCycles, electrodeMm, payoffLagS } = inputs
  const rule = (name: string, value: number | null, source: string): LimitRule => ({
    name,
    on: 'speed',
    sense: 'most',
    value,
    unit: 'm/min',
    source,
  })
  return [
    rule('top speed of the line', inputs.speedMaxMPerMin, sourceOf(inputs, 'speedMaxMPerMin')),
    rule(
      'dwell in the spark tester',
      sparkHz === null || minDwellCycles === null
        ? null
        : dwellSpeedMPerS(sparkHz, electrodeMm, minDwellCycles) * SECONDS_PER_MIN,
      `f·l/N with ${minDwellCycles ?? 'unknown'} cycles: ${sourceOf(inputs, 'minDwellCycles')}`,
    ),
    rule(
      "dancer travel for the pay-off's lag",
      payoffLagS === null
        ? null
        : payoffLagS === 0
          ? inputs.speedMaxMPerMin
          : (dancerRoomM(inputs) / payoffLagS) * SECONDS_PER_MIN,
      payoffLagS === null ? 'lag of the pay-off not recorded' : 'cable given out = speed · lag',
    ),
  ]
}
