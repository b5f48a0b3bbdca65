import { REPLAY_LIMITS } from '../../../line/replay/run-setup.ts'
import type { LineSignals } from '../../../works/floor-api.ts'

/** Below it nothing was run since the counter was set to nought, m. Estimate. */
const LEAST_M = 0.05

/** What the counter of a line reads while the line stands, m; null while it runs, is not heard, or has counted nothing. */
export function standingReading(signals: LineSignals | null): number | null {
  if (signals?.state !== 'live' || signals.counterM === null || signals.counterM < LEAST_M) return null
  const runs = (signals.speedMPerMin ?? 0) / 60 > REPLAY_LIMITS.standstillMS
  return runs ? null : signals.counterM
}
