import type { LengthUm } from '../quantity/length.ts'

/** What cutting takes beyond the ordered length. lines.json `cut_rules`, lengths in whole micrometres. */
export interface CutRules {
  /** A bulk piece declared L takes L·(1 + ratio) + pieceTrimUm from the drum. */
  lengthGuardRatio: number
  pieceTrimUm: LengthUm
  /** Per lead, beyond its cut length. */
  leadTrimUm: LengthUm
  faultMarginUm: LengthUm
  outerEndLossProcessDrumUm: LengthUm
  outerEndLossRemnantUm: LengthUm
  innerEndLossProcessDrumUm: LengthUm
  uncappedEndCutUm: LengthUm
  minCleanSegmentUm: LengthUm
}
