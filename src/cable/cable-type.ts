import type { LengthUm } from '../quantity/length.ts'

/** A cable type as the works makes it: construction, electrical figures, limits and works settings. A row of cables.csv; null where the cell is empty. */
export interface CableType {
  /** Code: letter + outside diameter in 0.1 mm - impedance in ohm, e.g. C028-50; unique. */
  cable: string
  /** What it is for. */
  use: string | null
  /** Nominal impedance, ohm. */
  z0NominalOhm: number
  /** Wires in the inner conductor: 1, 7 or 19. */
  innerStrands: number
  /** Diameter of one inner wire, mm. */
  innerWireMm: number
  /** Diameter over the inner conductor, mm. */
  innerOdMm: number
  /** Electrically effective inner diameter, mm. */
  innerEffOdMm: number
  /** Dielectric material. */
  dielectric: string
  /** Mm. */
  dielectricOdMm: number
  /** Relative permittivity, no unit. */
  epsR: number
  /** Loss factor, no unit. */
  tanDelta: number
  /** Share of solid material in the foam, 0..1. */
  solidFraction: number
  /** Outer-conductor foil. */
  foilMaterial: 'none' | 'Al' | 'Cu'
  /** Metal thickness per side, micrometre; 0 = none. */
  foilUm: number
  /** Metal layers: 0, 1 or 2. */
  foilSides: number
  /** Carriers. */
  braidCarriers: number
  /** Wires per carrier. */
  braidEnds: number
  /** Mm. */
  braidWireMm: number
  /** Wire material. */
  braidMaterial: string
  /** Lay length, mm. */
  braidLayMm: number
  /** Degree. */
  braidAngleDeg: number
  /** Optical coverage, %. */
  braidCoveragePct: number
  /** Mm. */
  overBraidMm: number
  /** PVC, PE, LSZH ... */
  jacketMaterial: string
  /** Mm. */
  jacketWallMm: number
  jacketColour: string
  /** Outside diameter, mm. */
  odMm: number
  /** +/- tolerance of the diameter, mm. */
  odTolMm: number
  /** Mass, kg/km. */
  massKgKm: number
  /** Copper content, kg/km. */
  copperKgKm: number
  /** Kg/km. */
  plasticKgKm: number
  /** Impedance computed from the dimensions, ohm. */
  z0CalcOhm: number
  /** Velocity / c, 0..1. */
  velocityRatio: number
  /** Ns/m. */
  delayNsM: number
  /** PF/m. */
  capPfM: number
  /** DC loop part, inner, at 20 C, ohm/km. */
  rInnerOhmKm: number
  /** DC loop part, outer, at 20 C, ohm/km. */
  rOuterOhmKm: number
  /** First higher mode, GHz. */
  cutoffGhz: number
  /** No figure above this frequency, MHz. */
  fMaxMhz: number
  /** Smallest single bend radius, mm. */
  bendMinSingleMm: number
  /** Smallest repeated bend radius, mm. */
  bendMinRepeatedMm: number
  /** Smallest put-up barrel diameter, mm. */
  barrelMinMm: number
  /** Greatest pull, N. */
  pullMaxN: number
  /** Set winding tension, N. */
  lineTensionN: number
  /** Axial stiffness E*A, kN. */
  stretchEaKn: number
  /** Works setting of the spark tester, kV rms, AC. */
  sparkKvRms: number
  /** KV DC. */
  hipotCoreKvDc: number
  /** K1 in a = k1*sqrt(f)+k2*f, f in MHz, dB/100 m, 20 C. */
  attK1DbPer100mPerSqrtMhz: number
  /** K2, same formula. */
  attK2DbPer100mPerMhz: number
  /** Upper tolerance on attenuation, %. */
  attTolPlusPct: number
  /** Lot-to-lot spread of velocity, %. */
  velocityLotSpreadPct: number
  /** Structural return loss limit, dB. */
  srlMinDb: number
  /** Works policy: a leftover shorter than this is scrap, m. */
  minKeepUm: LengthUm
}
