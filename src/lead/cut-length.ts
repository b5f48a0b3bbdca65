import { type LengthUm, UM_PER_MM } from '../quantity/length.ts'
import type { Connector } from './connector.ts'

/**
 * Length of cable to cut for one lead: the ordered length less what lies inside its connectors.
 * tip to tip: L − eA − eB; reference plane to reference plane: L − (eA − pA) − (eB − pB); visible jacket: L,
 * with e = tip to cable end and p = tip to reference plane of each connector (works folder contract). Rounded up: a need.
 */
export function leadCutUm(
  lengthUm: LengthUm,
  definition: 'jacket' | 'tip_to_tip' | 'ref_to_ref',
  a: Pick<Connector, 'tipToCableEndMm' | 'tipToRefPlaneMm'> | null,
  b: Pick<Connector, 'tipToCableEndMm' | 'tipToRefPlaneMm'> | null,
): LengthUm {
  if (definition === 'jacket' || !a || !b) return lengthUm
  const inside = (c: Pick<Connector, 'tipToCableEndMm' | 'tipToRefPlaneMm'>) =>
    definition === 'tip_to_tip' ? c.tipToCableEndMm : c.tipToCableEndMm - c.tipToRefPlaneMm
  // the tenth of a micrometre keeps a binary fraction such as 9.1 mm from rounding a whole figure up
  return Math.ceil(lengthUm - (inside(a) + inside(b)) * UM_PER_MM - 0.1)
}
