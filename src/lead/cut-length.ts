import { FINE_PER_UM, type LengthUm, UM_PER_MM } from '../quantity/length.ts'
import type { Connector } from './connector.ts'

type Measures = Pick<Connector, 'tipToCableEndMm' | 'tipToRefPlaneMm'>

/**
 * Length of cable to cut for one lead: the ordered length less what lies inside its connectors.
 * tip to tip: L − eA − eB; reference plane to reference plane: L − (eA − pA) − (eB − pB); visible jacket: L,
 * with e = tip to cable end and p = tip to reference plane of each connector (works folder contract). Rounded up: a need.
 * Nought or less where the connectors are longer than the lead.
 */
export function leadCutUm(
  lengthUm: LengthUm,
  definition: 'jacket' | 'tip_to_tip' | 'ref_to_ref',
  a: Measures | null,
  b: Measures | null,
): LengthUm {
  return Math.ceil(leadCutFine(lengthUm * FINE_PER_UM, definition, a, b) / FINE_PER_UM)
}

/** The same, not rounded up: ordered length and cut length in ten-thousandths of a micrometre, so that many leads add up. */
export function leadCutFine(
  lengthFine: number,
  definition: 'jacket' | 'tip_to_tip' | 'ref_to_ref',
  a: Measures | null,
  b: Measures | null,
): number {
  if (definition === 'jacket' || !a || !b) return lengthFine
  const inside = (c: Measures) =>
    definition === 'tip_to_tip' ? c.tipToCableEndMm : c.tipToCableEndMm - c.tipToRefPlaneMm
  return lengthFine - Math.round((inside(a) + inside(b)) * UM_PER_MM * FINE_PER_UM)
}
