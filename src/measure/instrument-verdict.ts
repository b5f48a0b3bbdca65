import { umFromM } from '../quantity/length.ts'
import type { TrendAt } from './counter-trend.ts'
import { conformanceProbability } from './guard-band.ts'
import { instrumentLimit, type StatutoryRule } from './instrument-limit.ts'

/** The counter as it stands, uncorrected, against one law for instruments. */
export interface InstrumentVerdict {
  rule: StatutoryRule
  testM: number
  /** How far it may show too much (the customer is short), and too little (length is given away). */
  shortLimitRatio: number
  overLimitRatio: number
  /** Probability that its error lies between the two. */
  withinProbability: number
}

/** Least length an instrument may measure is on its plate; where nothing is known of it, a metre. */
const LEAST_LENGTH_M = 1

/** The law judges what the instrument shows, not what a preset makes of it: the error counts uncorrected, each side by its own limit. */
export function instrumentVerdict(rule: StatutoryRule, error: TrendAt, testM: number): InstrumentVerdict {
  const { shortUm, overUm } = instrumentLimit(rule, umFromM(testM), umFromM(LEAST_LENGTH_M))
  const shortLimitRatio = shortUm / umFromM(testM)
  const overLimitRatio = overUm / umFromM(testM)
  return {
    rule,
    testM,
    shortLimitRatio,
    overLimitRatio,
    withinProbability: conformanceProbability(error.errorRatio, error.standardRatio, {
      lower: -overLimitRatio,
      upper: shortLimitRatio,
    }),
  }
}
