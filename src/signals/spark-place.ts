/** Where a spark lies: true metres inward of the outer end, as the drum stood when it fired. */
export interface SparkPlace {
  fromM: number
  /** Greatest error on either side, m. */
  uncM: number
}

/** What is known where nobody reads a mark at the fault, m and per metre since the last known mark. Common practice of the trade. */
const PLACE_M = 0.5
const PLACE_RATIO = 0.002

/**
 * Place = (counted since the last cut) / (1 + e) + way from head to cutter: the head looks at cable that has not reached
 * the cutter yet. Counter in error by e = counter/tape − 1. Uncertainty: 0.5 m + 0.2 % of the way since the last known
 * mark, which is that cut, + speed × half the time between two looks (`halfLookM`), + what was bridged or is in doubt.
 */
export function sparkPlace(of: {
  countedM: number
  errorRatio: number
  toCutterM: number
  halfLookM: number
  doubtM: number
}): SparkPlace {
  const fromM = of.countedM / (1 + of.errorRatio) + of.toCutterM
  return { fromM, uncM: PLACE_M + PLACE_RATIO * Math.max(0, fromM) + of.halfLookM + of.doubtM }
}
