import {
  type Braid,
  braidAngleDeg,
  braidCoveragePct,
  braidMassKgKm,
  braidResistanceOhmKm,
} from './braid-geometry.ts'
import type { CableType } from './cable-type.ts'
import { capacitancePfM, delayNsM, impedanceOhm, te11CutoffGhz, velocityRatio } from './coax-geometry.ts'
import { ALUMINIUM, COPPER, metalNamed } from './conductor-metal.ts'
import { type ConstructionLoss, lossFromConstruction } from './loss-from-construction.ts'

/** What follows from the dimensions of a cable, to stand beside what the works declares; null where a material is not known. */
export interface ConstructionFigures {
  zOhm: number
  velocityRatio: number
  delayNsM: number
  capPfM: number
  cutoffGhz: number
  loss: ConstructionLoss | null
  braidAngleDeg: number
  braidCoveragePct: number
  /** DC, 20 °C, ohm/km. */
  rInnerOhmKm: number
  rOuterOhmKm: number | null
  massKgKm: number | null
  copperKgKm: number | null
}

/** Polyethylene, kg/dm³: the customary figure for the insulation grade; foam counts by its share of solid. */
const POLYETHYLENE_KG_DM3 = 0.92

/** Jackets, kg/dm³: common practice of the trade, compounds differ by some per cent. */
const JACKET_KG_DM3: Record<string, number> = { PVC: 1.38, PE: 0.945, LSZH: 1.47 }

/** Wires twisted in a strand are longer than the cable: 2 %, common practice of the trade. */
const STRAND_TAKE_UP = 1.02

export function constructionFigures(cable: CableType): ConstructionFigures {
  const zOhm = impedanceOhm(cable.innerEffOdMm, effectiveOuterMm(cable), cable.epsR)
  const velocity = velocityRatio(cable.epsR)
  const braid = braidOf(cable)
  return {
    zOhm,
    velocityRatio: velocity,
    delayNsM: delayNsM(velocity),
    capPfM: capacitancePfM(zOhm, velocity),
    cutoffGhz: te11CutoffGhz(cable.innerOdMm, cable.dielectricOdMm, cable.epsR),
    loss: lossFromConstruction(cable, zOhm),
    braidAngleDeg: braidAngleDeg(braid),
    braidCoveragePct: braidCoveragePct(braid),
    rInnerOhmKm: (1_000 * COPPER.resistivityOhmMm2M * takeUp(cable)) / innerAreaMm2(cable),
    rOuterOhmKm: outerResistanceOhmKm(cable, braid),
    ...masses(cable, braid),
  }
}

/**
 * Diameter at which the field meets the outer conductor: the foil lies on the dielectric; a bare braid of round wires counts as a tube of
 * D + 1.5 wire diameters (the usual design formula of braided cable, from memory; the demo types follow it).
 */
function effectiveOuterMm(cable: CableType): number {
  const bare = cable.foilMaterial === 'none' || cable.foilUm === 0
  return cable.dielectricOdMm + (bare ? 1.5 * cable.braidWireMm : 0)
}

function braidOf(cable: CableType): Braid {
  return {
    carriers: cable.braidCarriers,
    ends: cable.braidEnds,
    wireMm: cable.braidWireMm,
    layMm: cable.braidLayMm,
    underMm: cable.dielectricOdMm + (2 * cable.foilSides * cable.foilUm) / 1_000,
  }
}

function innerAreaMm2(cable: CableType): number {
  return (cable.innerStrands * Math.PI * cable.innerWireMm ** 2) / 4
}

function takeUp(cable: CableType): number {
  return cable.innerStrands > 1 ? STRAND_TAKE_UP : 1
}

function foilAreaMm2(cable: CableType): number {
  return (Math.PI * cable.dielectricOdMm * cable.foilUm * cable.foilSides) / 1_000
}

/** Braid and foil in parallel. */
function outerResistanceOhmKm(cable: CableType, braid: Braid): number | null {
  const metal = metalNamed(cable.braidMaterial)
  if (!metal) return null
  const foil = cable.foilMaterial === 'Al' ? ALUMINIUM : COPPER
  const foilSiemensKm = foilAreaMm2(cable) / (1_000 * foil.resistivityOhmMm2M)
  return 1 / (1 / braidResistanceOhmKm(braid, metal) + foilSiemensKm)
}

function masses(cable: CableType, braid: Braid): { massKgKm: number | null; copperKgKm: number | null } {
  const metal = metalNamed(cable.braidMaterial)
  const jacket = JACKET_KG_DM3[cable.jacketMaterial.trim().toUpperCase()]
  if (!metal) return { massKgKm: null, copperKgKm: null }
  const inner = innerAreaMm2(cable) * takeUp(cable) * COPPER.densityKgDm3
  const ofBraid = braidMassKgKm(braid, metal)
  const copperFoil = cable.foilMaterial === 'Cu' ? foilAreaMm2(cable) * COPPER.densityKgDm3 : 0
  const aluminiumFoil = cable.foilMaterial === 'Al' ? foilAreaMm2(cable) * ALUMINIUM.densityKgDm3 : 0
  const copperBraid = metal.densityKgDm3 === COPPER.densityKgDm3 ? ofBraid : 0
  const dielectric =
    ((Math.PI * cable.dielectricOdMm ** 2) / 4 - innerAreaMm2(cable)) *
    cable.solidFraction *
    POLYETHYLENE_KG_DM3
  const copperKgKm = inner + copperBraid + copperFoil
  if (jacket === undefined) return { massKgKm: null, copperKgKm }
  const ofJacket = ((cable.odMm ** 2 - cable.overBraidMm ** 2) * Math.PI * jacket) / 4
  return { massKgKm: inner + ofBraid + copperFoil + aluminiumFoil + dielectric + ofJacket, copperKgKm }
}
