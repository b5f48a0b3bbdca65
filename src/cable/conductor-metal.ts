import { MAGNETIC_CONSTANT_H_M } from './constants.ts'

/** A conductor metal at 20 °C. */
export interface ConductorMetal {
  /** Resistivity, Ω·mm²/m. */
  resistivityOhmMm2M: number
  /** Kg/dm³. */
  densityKgDm3: number
}

/**
 * Annealed copper of 100 % IACS: 0.017241 Ω·mm²/m, 8.89 kg/dm³ (NBS Handbook 100). Hard-drawn aluminium: 0.028264 Ω·mm²/m,
 * 2.703 kg/dm³ (IEC 60889, from memory). Tinned copper wire: 0.0179 Ω·mm²/m, the thin-wire figure of wire tables
 * (from memory; it reproduces the tinned braids of the demo works).
 */
const METALS = {
  copper: { resistivityOhmMm2M: 0.017241, densityKgDm3: 8.89 },
  tinnedCopper: { resistivityOhmMm2M: 0.0179, densityKgDm3: 8.89 },
  aluminium: { resistivityOhmMm2M: 0.028264, densityKgDm3: 2.703 },
} as const satisfies Record<string, ConductorMetal>

export const COPPER: ConductorMetal = METALS.copper
export const ALUMINIUM: ConductorMetal = METALS.aluminium

/** The metal that a cell of cables.csv names; null where it is none that we know. */
export function metalNamed(name: string): ConductorMetal | null {
  const known = name.trim().toLowerCase().replaceAll('-', '_').replaceAll(' ', '_')
  if (['cu', 'copper', 'bare_copper', 'cu_bare'].includes(known)) return METALS.copper
  if (['cu_tinned', 'tinned_copper', 'tinned_cu'].includes(known)) return METALS.tinnedCopper
  if (['al', 'aluminium', 'aluminum'].includes(known)) return METALS.aluminium
  return null
}

/** Temperature coefficient of the resistance of copper from 20 °C, 1/K: NBS Handbook 100 (value from memory). */
export const COPPER_COEFFICIENT_PER_K = 0.00393

/** Resistance at a temperature from that at 20 °C; copper, and near enough aluminium (0.00403), −40 to +100 °C. */
export function resistanceAt(resistance20: number, tempC: number): number {
  return resistance20 * (1 + COPPER_COEFFICIENT_PER_K * (tempC - 20))
}

/** Surface resistance Rs = √(π·f·µ0·ρ), ohm: a good conductor many skin depths thick (Ellingson, Electromagnetics II §7.3). */
export function surfaceResistanceOhm(metal: ConductorMetal, fHz: number): number {
  return Math.sqrt(Math.PI * fHz * MAGNETIC_CONSTANT_H_M * metal.resistivityOhmMm2M * 1e-6)
}

/** Skin depth √(ρ/(π·f·µ0)), mm. */
export function skinDepthMm(metal: ConductorMetal, fHz: number): number {
  return 1_000 * Math.sqrt((metal.resistivityOhmMm2M * 1e-6) / (Math.PI * fHz * MAGNETIC_CONSTANT_H_M))
}
