import { type MotionPhase, type Ramp, rampDistanceM, rampPhases, rampTimeS } from './motion-profile.ts'

/** What the drive may do while one piece is run. */
export interface RunLimits {
  speedMPerS: number
  creepMPerS: number
  /** Metres run in creep before the stop is ordered. */
  creepM: number
  up: Ramp
  down: Ramp
}

/** One piece from standstill to standstill: ramp up, run, slow down to creep, creep, stop. */
export interface PieceRun {
  lengthM: number
  /** Highest speed that is reached. */
  peakMPerS: number
  /** True metres from the start where the slowing down begins; 0 where the piece is run in creep. */
  slowAtM: number
  /** True metres where the stop is ordered, so that the ramp ends at the length. */
  stopAtM: number
  timeS: number
  phases: MotionPhase[]
}

/**
 * The quickest run of a length: the highest speed whose ramps and creep still fit, found by halving (the distance of the
 * ramps rises with the speed). What is left over is run at that speed, so that the phases add up to the length exactly.
 */
export function pieceRun(lengthM: number, limits: RunLimits): PieceRun {
  const creep = Math.min(limits.creepMPerS, limits.speedMPerS)
  const stopM = rampDistanceM(creep, 0, limits.down)
  const slowedM = (speed: number) =>
    rampDistanceM(0, speed, limits.up) + rampDistanceM(speed, creep, limits.down) + limits.creepM + stopM
  if (slowedM(creep) > lengthM) return creepRun(lengthM, creep, limits)
  const peak =
    slowedM(limits.speedMPerS) <= lengthM
      ? limits.speedMPerS
      : (trapezoidPeakMPerS(lengthM, limits) ??
        highest(creep, limits.speedMPerS, (speed) => slowedM(speed) <= lengthM))
  const upM = rampDistanceM(0, peak, limits.up)
  const downM = rampDistanceM(peak, creep, limits.down)
  const steadyM = lengthM - upM - downM - limits.creepM - stopM
  const phases = [
    ...rampPhases(0, peak, limits.up),
    ...steady(peak, steadyM),
    ...rampPhases(peak, creep, limits.down),
    ...steady(creep, limits.creepM),
    ...rampPhases(creep, 0, limits.down),
  ]
  return {
    lengthM,
    peakMPerS: peak,
    slowAtM: upM + steadyM,
    stopAtM: lengthM - stopM,
    timeS: timeOf(phases),
    phases,
  }
}

/**
 * Without a jerk limit v²/2a + v²/2d + creep = L, so v = √((L − creep)·2ad/(a + d)); null with one, where no such form is
 * worth having.
 */
function trapezoidPeakMPerS(lengthM: number, { creepM, up, down }: RunLimits): number | null {
  if (up.jerkMPerS3 !== null || down.jerkMPerS3 !== null) return null
  const [a, d] = [up.accelMPerS2, down.accelMPerS2]
  return Math.sqrt(((lengthM - creepM) * 2 * a * d) / (a + d))
}

/** Too short to go faster than creep and slow down again. */
function creepRun(lengthM: number, creepMPerS: number, limits: RunLimits): PieceRun {
  const ramps = (speed: number) => rampDistanceM(0, speed, limits.up) + rampDistanceM(speed, 0, limits.down)
  const peak = highest(0, creepMPerS, (speed) => ramps(speed) <= lengthM)
  const phases = [
    ...rampPhases(0, peak, limits.up),
    ...steady(peak, lengthM - ramps(peak)),
    ...rampPhases(peak, 0, limits.down),
  ]
  const stopAtM = lengthM - rampDistanceM(peak, 0, limits.down)
  return { lengthM, peakMPerS: peak, slowAtM: 0, stopAtM, timeS: timeOf(phases), phases }
}

function steady(speedMPerS: number, lengthM: number): MotionPhase[] {
  if (!(lengthM > 0)) return []
  return [{ durationS: lengthM / speedMPerS, speedMPerS, accelMPerS2: 0, jerkMPerS3: 0 }]
}

function timeOf(phases: MotionPhase[]): number {
  return phases.reduce((sum, phase) => sum + phase.durationS, 0)
}

/** The highest speed between two for which it still fits; the lower one fits. */
function highest(low: number, high: number, fits: (speed: number) => boolean): number {
  if (fits(high)) return high
  let [least, most] = [low, high]
  for (let i = 0; i < 60; i++) {
    const middle = (least + most) / 2
    if (fits(middle)) least = middle
    else most = middle
  }
  // a speed of nought runs nothing: keep the first one above it
  return least > 0 ? least : most
}

/** Time of a length at a speed by the trade's formula t = L/v + v/2·(1/a + 1/d), without creep; the length must hold both ramps. */
export function plainRunS(lengthM: number, speedMPerS: number, up: Ramp, down: Ramp): number {
  const rampsM = rampDistanceM(0, speedMPerS, up) + rampDistanceM(speedMPerS, 0, down)
  return (lengthM - rampsM) / speedMPerS + rampTimeS(0, speedMPerS, up) + rampTimeS(speedMPerS, 0, down)
}

/**
 * The lowest speed at which the piece takes at most so much longer than at the highest: beyond it, speed buys nothing
 * that the handling does not hide. Found by halving, since the time falls with the speed.
 */
export function speedWorthRunning(
  best: PieceRun,
  limits: RunLimits,
  handlingS: number,
  worthRatio: number,
): number {
  const allowedS = best.timeS + worthRatio * (best.timeS + handlingS)
  const direct = trapezoidWorthMPerS(best, limits, allowedS)
  if (direct !== null) return direct
  let [slow, fast] = [0, best.peakMPerS]
  for (let i = 0; i < 30; i++) {
    const middle = (slow + fast) / 2
    if (runTimeS(best.lengthM, middle, limits) <= allowedS) fast = middle
    else slow = middle
  }
  return fast
}

/** t = (L − c)/v + v/2·(1/a + 1/d) + c/v_creep solved for v: the lower root, no slower than creep. */
function trapezoidWorthMPerS(best: PieceRun, limits: RunLimits, allowedS: number): number | null {
  const { up, down, creepM, creepMPerS } = limits
  if (up.jerkMPerS3 !== null || down.jerkMPerS3 !== null) return null
  if (best.peakMPerS <= creepMPerS) return best.peakMPerS
  const k = (1 / up.accelMPerS2 + 1 / down.accelMPerS2) / 2
  const fastS = allowedS - creepM / creepMPerS
  const root = (fastS - Math.sqrt(Math.max(0, fastS * fastS - 4 * k * (best.lengthM - creepM)))) / (2 * k)
  return Math.min(best.peakMPerS, Math.max(creepMPerS, root))
}

/** Time at a speed whose ramps fit, without laying out the phases. */
function runTimeS(lengthM: number, speedMPerS: number, limits: RunLimits): number {
  const creep = Math.min(limits.creepMPerS, speedMPerS)
  const creepM = speedMPerS > creep ? limits.creepM : 0
  const rampsM =
    rampDistanceM(0, speedMPerS, limits.up) +
    rampDistanceM(speedMPerS, creep, limits.down) +
    rampDistanceM(creep, 0, limits.down)
  return (
    rampTimeS(0, speedMPerS, limits.up) +
    rampTimeS(speedMPerS, creep, limits.down) +
    rampTimeS(creep, 0, limits.down) +
    (lengthM - rampsM - creepM) / speedMPerS +
    (creepM > 0 ? creepM / creep : 0)
  )
}
