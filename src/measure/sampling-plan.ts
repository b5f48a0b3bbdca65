/** Single sampling, normal inspection, after MIL-STD-105E tables I and II-A (the same in ISO 2859-1:1999 tables 1 and 2-A). */

export type InspectionLevel = 'I' | 'II' | 'III'
export type CodeLetter = (typeof LETTERS)[number]
export type QualityLevel = (typeof QUALITY_LEVELS)[number]

const LETTERS = ['A', 'B', 'C', 'D', 'E', 'F', 'G', 'H', 'J', 'K', 'L', 'M', 'N', 'P', 'Q', 'R'] as const
/** Sample of each letter, A to R. */
const SAMPLES = [2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1_250, 2_000] as const
/** Acceptable quality levels of the part of the table that is kept here: faults per 100 units. */
export const QUALITY_LEVELS = [0.65, 1, 1.5, 2.5, 4, 6.5, 10, 15] as const

/** Greatest lot of each row of table I, and its letters for the general levels I, II and III. */
const LETTER_ROWS = [
  [8, 'A', 'A', 'B'],
  [15, 'A', 'B', 'C'],
  [25, 'B', 'C', 'D'],
  [50, 'C', 'D', 'E'],
  [90, 'C', 'E', 'F'],
  [150, 'D', 'F', 'G'],
  [280, 'E', 'G', 'H'],
  [500, 'F', 'H', 'J'],
  [1_200, 'G', 'J', 'K'],
  [3_200, 'H', 'K', 'L'],
  [10_000, 'J', 'L', 'M'],
  [35_000, 'K', 'M', 'N'],
  [150_000, 'L', 'N', 'P'],
  [500_000, 'M', 'P', 'Q'],
  [Number.POSITIVE_INFINITY, 'N', 'Q', 'R'],
] as const

/**
 * Table II-A is built on diagonals: one letter further and one quality level stricter is the same acceptance number. Counted
 * from (A, 0.65), diagonal 5 accepts 0, 6 points to the plan above, 7 to the plan below, 8 accepts 1 and so on; before 5 all point
 * below, after 21 all point above.
 */
const ACCEPT_FROM_DIAGONAL_8 = [1, 2, 3, 5, 7, 10, 14, 21] as const

/** What stands in the table: an acceptance number, or an arrow to the first plan below or above. */
export type TableEntry = number | 'down' | 'up'

export function codeLetter(lot: number, level: InspectionLevel): CodeLetter | null {
  if (!(lot >= 2)) return null
  const row = LETTER_ROWS.find(([most]) => lot <= most)!
  return row[level === 'I' ? 1 : level === 'II' ? 2 : 3]
}

export function tableEntry(letter: CodeLetter, aql: QualityLevel): TableEntry {
  const diagonal = LETTERS.indexOf(letter) + QUALITY_LEVELS.indexOf(aql)
  if (diagonal < 5 || diagonal === 7) return 'down'
  if (diagonal === 5) return 0
  // one tabulation prints an arrow upwards at (A, 10) too, with no plan above it
  if (diagonal === 6) return letter === 'A' ? 'down' : 'up'
  return ACCEPT_FROM_DIAGONAL_8[diagonal - 8] ?? 'up'
}

export interface SamplingPlan {
  /** The letter whose plan is used, after the arrows. */
  letter: CodeLetter
  sample: number
  /** So many faulty units are accepted; one more refuses the lot. */
  accept: number
}

/** The plan of a letter: an arrow leads to another letter and with it to another sample size. */
export function planOfLetter(letter: CodeLetter, aql: QualityLevel): SamplingPlan {
  let at = LETTERS.indexOf(letter)
  let entry = tableEntry(letter, aql)
  const step = entry === 'up' ? -1 : 1
  while (typeof entry !== 'number') {
    at += step
    entry = tableEntry(LETTERS[at]!, aql)
  }
  return { letter: LETTERS[at]!, sample: SAMPLES[at]!, accept: entry }
}

export interface LotInspection extends SamplingPlan {
  /** True where the sample is as large as the lot: then each unit is looked at. */
  wholeLot: boolean
}

/** How many of a lot to inspect and how many faulty ones to accept; null below two units. */
export function lotInspection(lot: number, level: InspectionLevel, aql: QualityLevel): LotInspection | null {
  const letter = codeLetter(lot, level)
  if (!letter) return null
  const plan = planOfLetter(letter, aql)
  return plan.sample >= lot ? { ...plan, sample: lot, wholeLot: true } : { ...plan, wholeLot: false }
}
