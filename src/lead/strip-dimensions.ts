import type { CableType } from '../cable/cable-type.ts'
import type { Connector } from './connector.ts'

/** How one end of the cable is bared, every length from the cut face. */
export interface StripDimensions {
  part: string
  /** Jacket off over this length. */
  jacketMm: number
  /** Braid and foil off. */
  braidMm: number
  /** Dielectric off: bare inner conductor. */
  dielectricMm: number
  /** What lies open between the steps: braid to fold back or under the ferrule, dielectric, inner. */
  openBraidMm: number
  openDielectricMm: number
  plusMinusMm: number
  /** Diameters met on the way in. */
  odMm: number
  overBraidMm: number
  dielectricOdMm: number
  innerOdMm: number
  checks: string[]
}

/** Strip dimensions are held to ±0.3 to 0.5 mm: common practice of the trade. */
const STRIP_TOLERANCE_MM = 0.5

export function stripDimensions(cable: CableType, connector: Connector): StripDimensions {
  const { stripJacketMm, stripBraidMm, stripDielectricMm } = connector
  return {
    part: connector.part,
    jacketMm: stripJacketMm,
    braidMm: stripBraidMm,
    dielectricMm: stripDielectricMm,
    openBraidMm: stripJacketMm - stripBraidMm,
    openDielectricMm: stripBraidMm - stripDielectricMm,
    plusMinusMm: STRIP_TOLERANCE_MM,
    odMm: cable.odMm,
    overBraidMm: cable.overBraidMm,
    dielectricOdMm: cable.dielectricOdMm,
    innerOdMm: cable.innerOdMm,
    checks: [
      'face square, no burr',
      // NASA-STD-8739.4: nicked shield strands up to 10 %, none cut
      'at most one shield wire in ten nicked, none cut',
      'no nick on the inner conductor',
      ...(cable.foilMaterial === 'none' ? [] : ['no foil under the pin, none left on the bared dielectric']),
      ...(cable.innerStrands > 1 ? ['strands of the inner laid together, none outside'] : []),
    ],
  }
}
