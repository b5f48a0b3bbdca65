import { normalBelow } from '../measure/normal-distribution.ts'
import type { LengthUm } from '../quantity/length.ts'

/** A length as it is believed: normal, with one standard deviation, µm. */
export interface LengthBelief {
  meanUm: number
  standardUm: number
}

/** What is known of the counter of a line on one day. */
export interface CounterBelief {
  /** Error of the counter that day: reading / true length − 1. */
  errorRatio: number
  standardRatio: number
}

export interface MeasuredPiece {
  declaredUm: LengthUm
  /** True length by its measurement, corrected as was done when it was cut, with one standard deviation. */
  measuredUm: LengthUm
  uncUm: number
  /** What the counter showed, m; null where none was used. */
  counterM: number | null
}

export interface ShortChance {
  /** False: no reading or no error of that day is known, and the length as it was booked counts. */
  byCounter: boolean
  /** The length as the counter of that day tells it, before the customer measured. */
  before: LengthBelief
  beforeChance: number
  /** With the customer's measurement; null where none is given. */
  after: LengthBelief | null
  afterChance: number | null
  /** How far the customer's figure lies from ours in standard deviations of their difference; null as above. */
  apart: number | null
}

/** Beyond so many standard deviations two measurements of one length are hard to believe both: a choice of this program, no source. */
export const HARD_TO_BELIEVE = 3

/**
 * What the piece is believed to be. Where the raw reading is known the length is reading / (1 + e), e as all checks together tell it
 * for that day now, and the piece's own uncertainty is added to that of e (GUM 5.1.2); else the length as it was booked.
 */
export function lengthBelief(piece: MeasuredPiece, counter: CounterBelief | null): LengthBelief {
  if (piece.counterM === null || counter === null)
    return { meanUm: piece.measuredUm, standardUm: piece.uncUm }
  const meanUm = (piece.counterM * 1e6) / (1 + counter.errorRatio)
  const ofCounter = (meanUm * counter.standardRatio) / (1 + counter.errorRatio)
  return { meanUm, standardUm: Math.hypot(ofCounter, piece.uncUm) }
}

/**
 * Probability that a length is below a limit: Φ((limit − mean)/u), one less the conformance probability for a lower limit (JCGM 106:2012
 * 7.2, quoted from memory).
 */
export function chanceBelow({ meanUm, standardUm }: LengthBelief, limitUm: LengthUm): number {
  if (!(standardUm > 0)) return meanUm < limitUm ? 1 : 0
  return normalBelow((limitUm - meanUm) / standardUm)
}

/** Two beliefs of one length become one: weights 1/u² (Bayes' rule for a normal prior and a normal measurement; Gelman and others, Bayesian Data Analysis, 2.5). */
export function agreedBelief(a: LengthBelief, b: LengthBelief): LengthBelief {
  const [wa, wb] = [1 / a.standardUm ** 2, 1 / b.standardUm ** 2]
  if (!Number.isFinite(wa)) return a
  if (!Number.isFinite(wb)) return b
  return { meanUm: (wa * a.meanUm + wb * b.meanUm) / (wa + wb), standardUm: 1 / Math.sqrt(wa + wb) }
}

/**
 * How probable it is that a piece was shorter than declared, by that day's counter and, where the customer measured it, by both. A
 * customer's figure without an uncertainty says nothing that could be weighed.
 */
export function shortChance(
  piece: MeasuredPiece,
  counter: CounterBelief | null,
  customer: LengthBelief | null,
): ShortChance {
  const before = lengthBelief(piece, counter)
  const after = customer && agreedBelief(before, customer)
  return {
    byCounter: piece.counterM !== null && counter !== null,
    before,
    beforeChance: chanceBelow(before, piece.declaredUm),
    after,
    afterChance: after && chanceBelow(after, piece.declaredUm),
    apart:
      customer &&
      Math.abs(customer.meanUm - before.meanUm) / Math.hypot(customer.standardUm, before.standardUm),
  }
}
