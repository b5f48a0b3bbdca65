import type { LengthUm } from '../quantity/length.ts'
import { sampleStats } from './sample-stats.ts'
import { studentQuantile } from './student-distribution.ts'

/** Tolerable minus deviation of one package marked by length: 2 % of the nominal length, German FPackV § 28. */
export const UNIT_SHORT_RATIO = 0.02

/** Greatest lot, sample and factor a: accepted where mean + a·s ≥ nominal. FPackV annex 4, from 26 packages; the last row has no upper end. */
const FPACKV_PLANS = [
  { lotMost: 50, sample: 3, factor: 1 },
  { lotMost: 150, sample: 5, factor: 0.35 },
  { lotMost: 500, sample: 8, factor: 0.2 },
  { lotMost: 3_200, sample: 13, factor: 0.15 },
  { lotMost: 10_000, sample: 20, factor: 0.1 },
  { lotMost: Number.POSITIVE_INFINITY, sample: 30, factor: 0.085 },
] as const
const FPACKV_LEAST_LOT = 26

export interface PrepackPlan {
  sample: number
  factor: number
}

/** Sample for a lot of packages; null below 26 packages, for which the table has no row. */
export function prepackPlan(lot: number): PrepackPlan | null {
  if (!(lot >= FPACKV_LEAST_LOT)) return null
  const { sample, factor } = FPACKV_PLANS.find((p) => lot <= p.lotMost)!
  return { sample, factor }
}

export interface PrepackVerdict {
  accepted: boolean
  meanUm: number
  sdUm: number
  /** What mean + a·s must reach. */
  nominalUm: LengthUm
  /** How many of the sample are short by more than the unit limit; one is enough to refuse. */
  tooShort: number
}

/** Batch mean at least nominal, no unit more than 2 % short: the sample test of a prepacked lot. null where the sample is not the plan's. */
export function prepackVerdict(
  nominalUm: LengthUm,
  lot: number,
  sampleUm: LengthUm[],
): PrepackVerdict | null {
  const plan = prepackPlan(lot)
  const { mean, sd, count } = sampleStats(sampleUm)
  if (!plan || sd === null || count !== plan.sample) return null
  const tooShort = sampleUm.filter((x) => x < nominalUm * (1 - UNIT_SHORT_RATIO)).length
  const accepted = mean + plan.factor * sd >= nominalUm && tooShort === 0
  return { accepted, meanUm: mean, sdUm: sd, nominalUm, tooShort }
}

/**
 * Factor k of the average-quantity reference test: a batch is accepted where mean ≥ nominal − k·s, k = t(0.995, n − 1)/√n
 * (UK SI 2006/659 schedule 2).
 */
export function averageTestFactor(sample: number): number {
  return studentQuantile(0.995, sample - 1) / Math.sqrt(sample)
}

export function averageTest(
  nominal: number,
  mean: number,
  sd: number,
  factor: number,
): { threshold: number; accepted: boolean } {
  const threshold = nominal - factor * sd
  return { threshold, accepted: mean >= threshold }
}
