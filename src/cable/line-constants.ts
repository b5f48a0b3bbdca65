import { impedanceOhm, velocityRatio } from './coax-geometry.ts'
import {
  type Complex,
  complex,
  hyperbolicCosine,
  hyperbolicSine,
  over,
  scaled,
  squareRoot,
  times,
} from './complex.ts'
import type { ConductorMetal } from './conductor-metal.ts'
import { surfaceResistanceOhm } from './conductor-metal.ts'
import { DB_PER_NEPER, LIGHT_SPEED_M_S } from './constants.ts'

/** Series impedance and shunt admittance of one metre of line at one frequency: ohm/m and S/m. */
export interface LineConstants {
  series: Complex
  shunt: Complex
}

/** What the telegraph equation makes of it. */
export interface LineWave {
  /** Attenuation Np/m and phase rad/m. */
  gamma: Complex
  /** Characteristic impedance, ohm, with its small reactive part. */
  zOhm: Complex
}

/** γ = √(Z·Y) and Zc = √(Z/Y): the exact solution of the telegraph equation (Ramo, Whinnery, Van Duzer, ch. 5; from memory). */
export function lineWave({ series, shunt }: LineConstants): LineWave {
  return { gamma: squareRoot(times(series, shunt)), zOhm: squareRoot(over(series, shunt)) }
}

/** ABCD of a length of line, B in ohm and C in S. */
export interface Abcd {
  a: Complex
  b: Complex
  c: Complex
  d: Complex
}

export function lineAbcd(wave: LineWave, lengthM: number): Abcd {
  const turn = scaled(wave.gamma, lengthM)
  const cosh = hyperbolicCosine(turn)
  const sinh = hyperbolicSine(turn)
  return { a: cosh, b: times(wave.zOhm, sinh), c: over(sinh, wave.zOhm), d: cosh }
}

/**
 * One metre of line from what is declared of a type: attenuation of conductor and dielectric in dB/m, impedance and velocity.
 * The declared velocity is taken to contain the inductance inside the conductors, so that phase is 360·f·L/(c·v), the
 * figure of the trade. The series resistance never falls below that for direct current.
 */
export function declaredLine(of: {
  fHz: number
  conductorDbM: number
  dielectricDbM: number
  zOhm: number
  velocity: number
  dcLoopOhmM: number
}): LineConstants {
  const omega = 2 * Math.PI * of.fHz
  const speed = of.velocity * LIGHT_SPEED_M_S
  const resistance = Math.max((2 * of.zOhm * of.conductorDbM) / DB_PER_NEPER, of.dcLoopOhmM)
  const conductance = (2 * of.dielectricDbM) / DB_PER_NEPER / of.zOhm
  return {
    series: complex(resistance, (omega * of.zOhm) / speed),
    shunt: complex(conductance, omega / (of.zOhm * speed)),
  }
}

/**
 * One metre of line from its dimensions: skin-effect resistance and the equal reactance inside the conductors (Ellingson,
 * Electromagnetics II §7.3), dielectric loss as tan δ. Smooth solid conductors many skin depths thick, below the TE11 cut-off.
 */
export function smoothLine(of: {
  fHz: number
  innerMm: number
  outerMm: number
  epsR: number
  tanDelta: number
  metal: ConductorMetal
}): LineConstants {
  const omega = 2 * Math.PI * of.fHz
  const zOhm = impedanceOhm(of.innerMm, of.outerMm, of.epsR)
  const speed = velocityRatio(of.epsR) * LIGHT_SPEED_M_S
  const rings = 1 / (Math.PI * of.innerMm * 1e-3) + 1 / (Math.PI * of.outerMm * 1e-3)
  const skin = surfaceResistanceOhm(of.metal, of.fHz) * rings
  const susceptance = omega / (zOhm * speed)
  return {
    series: complex(skin, (omega * zOhm) / speed + skin),
    shunt: complex(susceptance * of.tanDelta, susceptance),
  }
}
