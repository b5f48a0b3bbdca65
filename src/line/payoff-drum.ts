import type { Putup } from '../putup/putup.ts'
import type { PutupRules } from '../putup/putup-rules.ts'
import { outerDiameterMm, windingAt, windingOf } from '../putup/winding.ts'

/** What a drum at the pay-off asks of the cable that turns it, with so much cable on it. */
export interface PayoffState {
  lengthM: number
  /** Radius at which the cable leaves. */
  radiusM: number
  inertiaKgM2: number
  /** Inertia as the cable feels it, J/r²: pull per acceleration. */
  pulledKg: number
}

/** Moment of inertia of a hollow cylinder, m/8·(D² + d²), kg m² (trade formula, pffc-online). */
export function hollowInertiaKgM2(massKg: number, outerM: number, innerM: number): number {
  return (massKg / 8) * (outerM * outerM + innerM * innerM)
}

/**
 * Inertia of the bare drum where the works gives none: its tare as a hollow cylinder from barrel to flange. An estimate:
 * thin flanges have less, a heavy rim has more. A coil form has no flange; its tare counts at the barrel.
 */
export function bareInertiaKgM2(putup: Putup, tareKg: number): number {
  const barrelM = putup.barrelMm / 1000
  return hollowInertiaKgM2(tareKg, (putup.flangeMm ?? putup.barrelMm) / 1000, barrelM)
}

/** Null where the cable cannot lie on this put-up at all, so that no diameter is known. */
export function payoffState(
  putup: Putup,
  cable: { odMm: number; massKgKm: number },
  rules: PutupRules,
  lengthM: number,
  bareKgM2: number,
): PayoffState | null {
  const winding = windingOf(putup, cable.odMm, rules)
  if (!winding) return null
  const { layer } = windingAt(winding, lengthM)
  const outerM = outerDiameterMm(winding, layer) / 1000
  const barrelM = putup.barrelMm / 1000
  const cableKg = (lengthM * cable.massKgKm) / 1000
  const inertiaKgM2 = bareKgM2 + hollowInertiaKgM2(cableKg, outerM, barrelM)
  const radiusM = (outerM + (layer > 0 ? -cable.odMm / 1000 : cable.odMm / 1000)) / 2
  return { lengthM, radiusM, inertiaKgM2, pulledKg: inertiaKgM2 / (radiusM * radiusM) }
}

/**
 * The heaviest that the drum is to pull while it empties from one length to another. J/r² is convex in r² (a bare part
 * that falls with r², a wound part that rises with it), so that it is greatest at one of the two ends.
 */
export function heaviest(states: PayoffState[]): PayoffState | null {
  return states.reduce<PayoffState | null>(
    (most, state) => (most === null || state.pulledKg > most.pulledKg ? state : most),
    null,
  )
}

/** Torque that turns a drum: T·r + J·a/r, N m (unwind torque formula, pffc-online). */
export function payoffTorqueNm(state: PayoffState, tensionN: number, accelMPerS2: number): number {
  return tensionN * state.radiusM + (state.inertiaKgM2 * accelMPerS2) / state.radiusM
}

/** Torque of a brake that holds a tension by itself, T·D/2, N m (brake sizing note, northnet.org). */
export function brakeTorqueNm(tensionN: number, diameterM: number): number {
  return (tensionN * diameterM) / 2
}

/** Heat that the brake takes up, T·v, W (the same note, which rounds it to T(lb)·fpm/44). */
export function brakeHeatW(tensionN: number, speedMPerS: number): number {
  return tensionN * speedMPerS
}

/** Turns per minute of a drum, v/(π·D) (the same note, which rounds 12/π to 3.8). */
export function drumRpm(speedMPerS: number, diameterM: number): number {
  return (60 * speedMPerS) / (Math.PI * diameterM)
}
