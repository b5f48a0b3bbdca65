import { lnGamma } from '../measure/gamma-function.ts'
import type { LeadTest } from './lead-test.ts'

/** How often leads of a kind fail, with what is not known of it: a beta distribution of the failure rate. */
export interface FailureRate {
  /** Its two parameters: failed and passed leads, those assumed beforehand included. */
  failed: number
  passed: number
  /** What was counted. */
  tested: number
  testedFailed: number
  /** Whence, in words. */
  from: string
}

/**
 * What is assumed before anything is measured: one lead in twenty fails, and that is worth twenty leads. An estimate of ours, drowned by the
 * works' own tests as they come.
 */
const ASSUMED = { failed: 1, passed: 19 }

/** Learned from tested leads of the same cable and connectors; the beta distribution is the conjugate of the binomial. */
export function failureRate(
  tests: LeadTest[],
  of: { cable: string; connA: string; connB: string },
  failed: (test: LeadTest) => boolean,
): FailureRate {
  const ends = [of.connA, of.connB].sort().join(' ')
  const alike = tests.filter(
    (test) => test.cable === of.cable && [test.connA, test.connB].sort().join(' ') === ends,
  )
  const bad = alike.filter(failed).length
  return {
    failed: ASSUMED.failed + bad,
    passed: ASSUMED.passed + alike.length - bad,
    tested: alike.length,
    testedFailed: bad,
    from:
      alike.length === 0
        ? 'no lead of this kind is on record: one in twenty is assumed (our estimate)'
        : `${bad} of ${alike.length} leads of this kind on record failed, beside the assumption of one in twenty (worth twenty leads)`,
  }
}

/** The mean of the failure rate. */
export function meanFailure({ failed, passed }: FailureRate): number {
  return failed / (failed + passed)
}

/** Probability that at least so many of those started are good, the failure rate itself being uncertain (beta-binomial law). */
export function enoughGood(wanted: number, started: number, { failed, passed }: FailureRate): number {
  const lnBeta = (a: number, b: number) => lnGamma(a) + lnGamma(b) - lnGamma(a + b)
  let sum = 0
  for (let bad = 0; bad <= started - wanted; bad++) {
    const ways = lnGamma(started + 1) - lnGamma(bad + 1) - lnGamma(started - bad + 1)
    sum += Math.exp(ways + lnBeta(failed + bad, passed + started - bad) - lnBeta(failed, passed))
  }
  return Math.min(1, sum)
}

/** Probability with which a line shall be whole at the first go. */
export const START_CONFIDENCE = 0.95

/** How many leads to start so that the wanted number is good with 95 %. */
export function startFor(wanted: number, rate: FailureRate): { start: number; probability: number } {
  // with a rate that is at worst certain failure there is no end: as many again as wanted, and twenty, is the most that is started
  const most = 2 * wanted + 20
  for (let start = wanted; ; start++) {
    const probability = enoughGood(wanted, start, rate)
    if (probability >= START_CONFIDENCE || start === most) return { start, probability }
  }
}
