import { LIGHT_SPEED_M_S } from './constants.ts'

/** Phase of a length, degree, not folded: 360·f·L/(c·v). */
export function phaseDegOf(lengthM: number, velocity: number, fHz: number): number {
  return (360 * fHz * lengthM) / (velocity * LIGHT_SPEED_M_S)
}

/** Length of a phase, m: the inverse of `phaseDegOf`. */
export function lengthMOfPhase(phaseDeg: number, velocity: number, fHz: number): number {
  return (phaseDeg / 360) * ((velocity * LIGHT_SPEED_M_S) / fHz)
}

/** A phase folded into 0 to 360 degree. */
export function foldedDeg(phaseDeg: number): number {
  const rest = phaseDeg % 360
  return rest < 0 ? rest + 360 : rest
}
