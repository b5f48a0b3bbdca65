import type { AttenuationPoint } from '../../src/cable/attenuation-point.ts'
import type { CableType } from '../../src/cable/cable-type.ts'
import type { Connector } from '../../src/lead/connector.ts'
import type { Random } from './random.ts'

/**
 * Invented cable types of plausible make, computed from an outside diameter and an impedance with the plain
 * formulas of the coaxial line (TEM mode): Z = 59.96 Ω/√ε · ln(D/d), v = c/√ε, C = 1/(v·Z), first higher mode
 * f = c/(π·√ε·(D + d)/2). Masses are cross-sections times density. Demo figures only.
 */

const COPPER_KG_DM3 = 8.94
const PE_KG_DM3 = 0.92
const JACKET_KG_DM3 = 1.35
const SOLID_EPS = 2.27
const LIGHT_M_S = 299_792_458
const COPPER_OHM_MM2_KM = 17.24

const discMm2 = (mm: number) => (Math.PI * mm * mm) / 4
const round = (value: number, digits: number) => Number(value.toFixed(digits))

export function cableType(odMm: number, z0Ohm: 50 | 75): CableType {
  const foamed = odMm > 5.2
  const epsR = foamed ? 1.39 : SOLID_EPS
  const solidFraction = foamed ? 0.37 : 1
  const jacketWallMm = round(0.3 + 0.08 * odMm, 2)
  const overBraidMm = round(odMm - 2 * jacketWallMm, 2)
  const dielectricMm = round(overBraidMm - 0.56, 2)
  const velocityRatio = 1 / Math.sqrt(epsR)
  const innerMm = round(dielectricMm / Math.exp((z0Ohm * Math.sqrt(epsR)) / 59.96), 2)
  const z0Calc = (59.96 / Math.sqrt(epsR)) * Math.log(dielectricMm / innerMm)
  const braidMm2 = 0.6 * Math.PI * dielectricMm * 0.24
  const copperKgKm = (discMm2(innerMm) + braidMm2) * COPPER_KG_DM3
  const plasticKgKm =
    (discMm2(dielectricMm) - discMm2(innerMm)) * PE_KG_DM3 * solidFraction +
    (discMm2(odMm) - discMm2(overBraidMm)) * JACKET_KG_DM3
  const code = `${String(Math.round(odMm * 10)).padStart(3, '0')}-${z0Ohm}`
  return {
    cable: `T${code}`,
    use: foamed ? 'foamed' : 'flexible',
    z0NominalOhm: z0Ohm,
    innerStrands: 1,
    innerWireMm: innerMm,
    innerOdMm: innerMm,
    innerEffOdMm: innerMm,
    dielectric: foamed ? 'gas-foamed PE' : 'solid PE',
    dielectricOdMm: dielectricMm,
    epsR,
    tanDelta: 0.00015,
    solidFraction,
    foilMaterial: 'none',
    foilUm: 0,
    foilSides: 0,
    braidCarriers: 16,
    braidEnds: 7,
    braidWireMm: 0.12,
    braidMaterial: 'Cu_tinned',
    braidLayMm: round(5 * odMm, 1),
    braidAngleDeg: 26,
    braidCoveragePct: 85,
    overBraidMm,
    jacketMaterial: 'PVC',
    jacketWallMm,
    jacketColour: 'black',
    odMm,
    odTolMm: 0.12,
    massKgKm: round(copperKgKm + plasticKgKm, 1),
    copperKgKm: round(copperKgKm, 1),
    plasticKgKm: round(plasticKgKm, 1),
    ...electrical(z0Calc, velocityRatio, innerMm, dielectricMm, braidMm2),
    ...mechanical(odMm, innerMm),
  }
}

function electrical(
  z0Ohm: number,
  velocityRatio: number,
  innerMm: number,
  dielectricMm: number,
  braidMm2: number,
) {
  const cutoffGhz = (LIGHT_M_S * velocityRatio) / (Math.PI * ((dielectricMm + innerMm) / 2000)) / 1e9
  // loss of copper conductors by skin effect, dB per 100 m and √MHz: 36.1·(1/d + 1/D)/Z, d and D in mm
  const skin = (36.1 * (1 / innerMm + 1 / dielectricMm)) / z0Ohm
  return {
    z0CalcOhm: round(z0Ohm, 2),
    velocityRatio: round(velocityRatio, 3),
    delayNsM: round(1e9 / (LIGHT_M_S * velocityRatio), 4),
    capPfM: round(1e12 / (LIGHT_M_S * velocityRatio * z0Ohm), 1),
    rInnerOhmKm: round(COPPER_OHM_MM2_KM / discMm2(innerMm), 2),
    rOuterOhmKm: round(COPPER_OHM_MM2_KM / braidMm2, 2),
    cutoffGhz: round(cutoffGhz, 2),
    fMaxMhz: 6000,
    attK1DbPer100mPerSqrtMhz: round(skin, 5),
    attK2DbPer100mPerMhz: 0.0015,
    attTolPlusPct: 8,
    velocityLotSpreadPct: 0.5,
    srlMinDb: 20,
    hipotCoreKvDc: 2.5,
  }
}

function mechanical(odMm: number, innerMm: number) {
  return {
    bendMinSingleMm: Math.round(6.5 * odMm),
    bendMinRepeatedMm: Math.round(10 * odMm),
    barrelMinMm: Math.round(20 * odMm),
    pullMaxN: Math.round(60 + 40 * innerMm * innerMm),
    lineTensionN: Math.round(6 + 4 * odMm),
    stretchEaKn: Math.round(30 + 90 * innerMm * innerMm),
    sparkKvRms: odMm > 5 ? 7 : 5,
    minKeepUm: Math.round(4 + odMm * 0.6) * 1_000_000,
  }
}

/** Diameters spread over what the lines take, thinnest first, every fourth one of 75 Ω. */
export function cableTypes(random: Random, types: number): CableType[] {
  const cables: CableType[] = []
  for (let i = 0; i < types; i++) {
    const share = types === 1 ? 0.5 : i / (types - 1)
    const odMm = round(2.8 + share * 12.2 + random.decimal(0, 0.2, 1), 1)
    cables.push(cableType(odMm, i % 4 === 3 ? 75 : 50))
  }
  return cables
}

const POINTS_MHZ = [10, 30, 100, 300, 500, 1000, 2400, 6000]

/** a = k1·√f + k2·f (works folder contract); power falls with the loss. */
export function attenuationPoints(cables: CableType[]): AttenuationPoint[] {
  return cables.flatMap((c) =>
    POINTS_MHZ.map((fMhz) => {
      const att = c.attK1DbPer100mPerSqrtMhz * Math.sqrt(fMhz) + c.attK2DbPer100mPerMhz * fMhz
      const power = fMhz < 30 ? null : Math.max(1, Math.round((650 * c.odMm) / att))
      return { cable: c.cable, fMhz, attDbPer100m: round(att, 2), powerMaxW: power }
    }),
  )
}

const KINDS = [
  { name: 'N', interface: 'N', endMm: 9.6, planeMm: 9.1, torque: [0.7, 1.1], fMaxGhz: 11, priceEur: 3.5 },
  { name: 'B', interface: 'BNC', endMm: 8.2, planeMm: 5.3, torque: null, fMaxGhz: 4, priceEur: 1.9 },
] as const

/** Two parts for each cable. */
export function connectors(cables: CableType[]): Connector[] {
  return cables.flatMap((c) =>
    KINDS.map((kind) => ({
      part: `${kind.name}-${c.cable}`,
      interface: kind.interface,
      standard: null,
      gender: 'plug' as const,
      zOhm: c.z0NominalOhm,
      cable: c.cable,
      method: 'crimp_solder_pin' as const,
      tipToCableEndMm: kind.endMm,
      tipToRefPlaneMm: kind.planeMm,
      stripJacketMm: 16.5,
      stripBraidMm: 7.8,
      stripDielectricMm: 5.2,
      ferruleHexAfMm: null,
      pinMethod: 'solder' as const,
      torqueMinNm: kind.torque?.[0] ?? null,
      torqueMaxNm: kind.torque?.[1] ?? null,
      fMaxGhz: kind.fMaxGhz,
      rlMinDb: 25,
      lossCoeffDbPerSqrtGhz: 0.05,
      pullMinN: 150,
      priceEur: kind.priceEur,
      assemblyMinPerEnd: 3,
      note: null,
    })),
  )
}
