import { COAX_CONSTANT_OHM, LIGHT_SPEED_M_S } from './constants.ts'

/**
 * Round coaxial line without loss: what follows from two diameters and a permittivity. Diameters in one unit, mm here;
 * valid below the TE11 cut-off. Ellingson, Electromagnetics II §7.3; TE11: see `te11CutoffGhz`.
 */

/** Characteristic impedance (η0/2π)/√ε · ln(D/d), ohm. */
export function impedanceOhm(innerMm: number, outerMm: number, epsR: number): number {
  return (COAX_CONSTANT_OHM / Math.sqrt(epsR)) * Math.log(outerMm / innerMm)
}

/** Velocity over that of light, 1/√ε. */
export function velocityRatio(epsR: number): number {
  return 1 / Math.sqrt(epsR)
}

/** Permittivity of a foam whose velocity was measured, 1/v². */
export function permittivityOf(velocity: number): number {
  return 1 / (velocity * velocity)
}

/** Capacitance per metre 1/(Z·v), pF/m. */
export function capacitancePfM(zOhm: number, velocity: number): number {
  return 1e12 / (zOhm * velocity * LIGHT_SPEED_M_S)
}

/** Impedance from velocity and capacitance, 1/(v·C), ohm: with v in % and pF/ft it is 101670/(v·C), MIL-DTL-28830E 4.7.10. */
export function impedanceOfCapacitanceOhm(velocity: number, pfM: number): number {
  return 1e12 / (velocity * LIGHT_SPEED_M_S * pfM)
}

/** Delay of one metre, ns. */
export function delayNsM(velocity: number): number {
  return 1e9 / (velocity * LIGHT_SPEED_M_S)
}

/**
 * Cut-off of the first higher mode TE11, GHz: 2c/(π·(d+D)·√ε) with diameters in mm, the customary mean-circumference
 * estimate (microwaves101, coax cut-off frequency); it lies a few per cent off the exact root of the Bessel equation.
 * Above it no figure of a coaxial line may be given.
 */
export function te11CutoffGhz(innerMm: number, outerMm: number, epsR: number): number {
  return (2 * LIGHT_SPEED_M_S * 1e-6) / (Math.PI * (innerMm + outerMm) * Math.sqrt(epsR))
}
