/** A wound coil without a form, tied. */
export interface CoilSize {
  innerMm: number
  outerMm: number
  widthMm: number
  ties: number
  /** Length of one tie, once round the section with its overlap, mm. */
  tieMm: number
}

/** Room along the mean circumference for one tie, mm. Works default, an estimate that gives the 3 to 4 ties of common practice. */
const TIE_EVERY_MM = 350
const FEWEST_TIES = 3
const MOST_TIES = 4
/** Overlap of a tie, mm. Works default, an estimate. */
const TIE_OVERLAP_MM = 60

export function coilSize(innerMm: number, outerMm: number, widthMm: number): CoilSize {
  const mean = (Math.PI * (innerMm + outerMm)) / 2
  const ties = Math.min(MOST_TIES, Math.max(FEWEST_TIES, Math.ceil(mean / TIE_EVERY_MM)))
  return { innerMm, outerMm, widthMm, ties, tieMm: outerMm - innerMm + 2 * widthMm + TIE_OVERLAP_MM }
}
