/** What the length given away costs. */
export interface OverLengthCost {
  metresPerYear: number
  /** Material value of a metre, mean over what is shipped. */
  eurPerM: number
  /** At the guard in question. */
  eurPerYear: number
  /** At the guard that half the uncertainty would need. */
  savedByHalvingEurPerYear: number
}

/** Guard × metres × material cost a year, and what a guard of half the size would save. A guard below nought gives nothing away. */
export function overLengthCost(
  guardRatio: number,
  halvedGuardRatio: number,
  shipped: { metresPerYear: number; eurPerM: number }[],
): OverLengthCost {
  const metresPerYear = shipped.reduce((sum, s) => sum + s.metresPerYear, 0)
  const valueEur = shipped.reduce((sum, s) => sum + s.metresPerYear * s.eurPerM, 0)
  const eurPerYear = Math.max(0, guardRatio) * valueEur
  return {
    metresPerYear,
    eurPerM: metresPerYear > 0 ? valueEur / metresPerYear : 0,
    eurPerYear,
    savedByHalvingEurPerYear: eurPerYear - Math.max(0, halvedGuardRatio) * valueEur,
  }
}
