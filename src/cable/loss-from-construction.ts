import type { CableType } from './cable-type.ts'
import {
  ALUMINIUM,
  COPPER,
  type ConductorMetal,
  metalNamed,
  skinDepthMm,
  surfaceResistanceOhm,
} from './conductor-metal.ts'
import { DB_PER_NEPER, LIGHT_SPEED_M_S } from './constants.ts'

/**
 * Factors on the surface resistance of a smooth tube. Common practice of the trade: stranded inner 1.15 to 1.25 on its outer
 * diameter; bare braid about 2 and rising with frequency and age; solid wire and foil 1. How fast a braid rises is not
 * published: 1.7 + 1.2·√f(GHz) lies within 12 % of the loss of RG-58C/U in a repeater guide (rf.att.guide.RG-58C-U, 50 to 850 MHz)
 * and within 5 % of the two bare-braid types of the demo works. Defaults that a works may change.
 */
export interface SurfaceFactors {
  stranded: number
  braid: number
  braidRisePerSqrtGhz: number
}

export const SURFACE_FACTORS: SurfaceFactors = { stranded: 1.25, braid: 1.7, braidRisePerSqrtGhz: 1.2 }

/** Attenuation a·√f + b·f of a construction, f in MHz, dB per 100 m at 20 °C. */
export interface ConstructionLoss {
  k1DbPer100mPerSqrtMhz: number
  k2DbPer100mPerMhz: number
  /** From here up the foil is thicker than two skin depths, so that the current does not reach the braid behind it; null without a foil. */
  foilHoldsFromMhz: number | null
}

type LossParts = Pick<
  CableType,
  | 'innerStrands'
  | 'innerOdMm'
  | 'dielectricOdMm'
  | 'epsR'
  | 'tanDelta'
  | 'foilMaterial'
  | 'foilUm'
  | 'braidMaterial'
>

/**
 * Conductor loss 8.686·Rs/(2·Z)·(ks/πd + kb/πD) and dielectric loss 8.686·π·f·√ε·tan δ/c, which is 91·f(GHz)·√ε·tan δ dB/m
 * (Ellingson, Electromagnetics II §7.3). Holds where conductors are many skin depths thick and below the TE11 cut-off.
 * null where the outer conductor is of a metal that we do not know.
 */
export function lossFromConstruction(
  parts: LossParts,
  zOhm: number,
  factors: SurfaceFactors = SURFACE_FACTORS,
): ConstructionLoss | null {
  const outerMetal = facingMetal(parts)
  if (!outerMetal) return null
  const bare = parts.foilMaterial === 'none' || parts.foilUm === 0
  const strandFactor = parts.innerStrands > 1 ? factors.stranded : 1
  const inner = (strandFactor * surfaceResistanceOhm(COPPER, 1e6)) / (Math.PI * parts.innerOdMm * 1e-3)
  const tube = surfaceResistanceOhm(outerMetal, 1e6) / (Math.PI * parts.dielectricOdMm * 1e-3)
  const outer = (bare ? factors.braid : 1) * tube
  const rise = bare ? (factors.braidRisePerSqrtGhz / Math.sqrt(1_000)) * tube : 0
  const dbPer100m = (ohmPerM: number) => (100 * DB_PER_NEPER * ohmPerM) / (2 * zOhm)
  return {
    k1DbPer100mPerSqrtMhz: dbPer100m(inner + outer),
    k2DbPer100mPerMhz: 100 * dielectricLossDbM(parts.epsR, parts.tanDelta, 1e6) + dbPer100m(rise),
    foilHoldsFromMhz: bare ? null : (2 * skinDepthMm(outerMetal, 1e6) * 1_000 * (1 / parts.foilUm)) ** 2,
  }
}

/** π·f·√ε·tan δ/c in dB/m. */
export function dielectricLossDbM(epsR: number, tanDelta: number, fHz: number): number {
  return (DB_PER_NEPER * Math.PI * fHz * Math.sqrt(epsR) * tanDelta) / LIGHT_SPEED_M_S
}

/** The metal that faces the dielectric: the foil where there is one, else the braid. */
function facingMetal(parts: LossParts): ConductorMetal | null {
  if (parts.foilUm > 0 && parts.foilMaterial === 'Cu') return COPPER
  if (parts.foilUm > 0 && parts.foilMaterial === 'Al') return ALUMINIUM
  return metalNamed(parts.braidMaterial)
}
