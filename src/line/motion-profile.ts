/** A stretch of a run with constant jerk: v(t) = speed + accel·t + jerk·t²/2. */
export interface MotionPhase {
  durationS: number
  /** Speed and acceleration at its beginning. */
  speedMPerS: number
  accelMPerS2: number
  jerkMPerS3: number
}

/** How a drive changes its speed. `jerkMPerS3` null: acceleration is switched on at once (trapezoid). */
export interface Ramp {
  accelMPerS2: number
  jerkMPerS3: number | null
}

/** Seconds to go from one speed to another; see `rampPhases`. */
export function rampTimeS(fromMPerS: number, toMPerS: number, ramp: Ramp): number {
  const change = Math.abs(toMPerS - fromMPerS)
  const { accelMPerS2: a, jerkMPerS3: j } = ramp
  if (j === null) return change / a
  return change < (a * a) / j ? 2 * Math.sqrt(change / j) : change / a + a / j
}

/**
 * Metres run while the speed changes: (v0 + v1)/2 · time, which holds for any ramp that is symmetrical in time.
 * Jerk-limited: time = Δv/a + a/j, or 2·√(Δv/j) where the acceleration is never reached (seven-segment profile formulas,
 * jpe-innovations.com; the distances of a motion controller's FAQ table agree).
 */
export function rampDistanceM(fromMPerS: number, toMPerS: number, ramp: Ramp): number {
  return ((fromMPerS + toMPerS) / 2) * rampTimeS(fromMPerS, toMPerS, ramp)
}

/** The phases of one change of speed: one, or with a jerk limit up to three. */
export function rampPhases(fromMPerS: number, toMPerS: number, ramp: Ramp): MotionPhase[] {
  const change = Math.abs(toMPerS - fromMPerS)
  if (change === 0) return []
  const sign = toMPerS > fromMPerS ? 1 : -1
  const { accelMPerS2: a, jerkMPerS3: j } = ramp
  if (j === null)
    return [{ durationS: change / a, speedMPerS: fromMPerS, accelMPerS2: sign * a, jerkMPerS3: 0 }]
  const peak = Math.min(a, Math.sqrt(change * j))
  const buildS = peak / j
  const holdS = Math.max(0, change / peak - buildS)
  const built = fromMPerS + (sign * peak * buildS) / 2
  const held = built + sign * peak * holdS
  const phases: MotionPhase[] = [
    { durationS: buildS, speedMPerS: fromMPerS, accelMPerS2: 0, jerkMPerS3: sign * j },
    { durationS: holdS, speedMPerS: built, accelMPerS2: sign * peak, jerkMPerS3: 0 },
    { durationS: buildS, speedMPerS: held, accelMPerS2: sign * peak, jerkMPerS3: -sign * j },
  ]
  return phases.filter((phase) => phase.durationS > 0)
}

export function speedAt(phase: MotionPhase, afterS: number): number {
  return phase.speedMPerS + phase.accelMPerS2 * afterS + (phase.jerkMPerS3 * afterS * afterS) / 2
}

export function accelAt(phase: MotionPhase, afterS: number): number {
  return phase.accelMPerS2 + phase.jerkMPerS3 * afterS
}
