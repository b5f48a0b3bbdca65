import type { CounterReading } from './counter-reading.ts'
import {
  type Filtered,
  filterTrend,
  type TrendPoint,
  type TrendState,
  type Wander,
} from './local-linear-filter.ts'

/** One set of variances with what the filter makes of the readings under it. */
export interface Candidate {
  wander: Wander
  /** Share of the noise variance (at the reference tape) that a longer tape does not lessen. */
  slipShare: number
  points: TrendPoint[]
  filtered: Filtered
  logLikelihood: number
  noiseVar: number
  /** Likelihood over that of all candidates. */
  weight: number
}

/**
 * Grid of the variances, as standard deviations in units of one check's noise: level over a week, slope (per day) over
 * 90 days, and the share of the noise variance that a longer tape does not lessen. Bounded on both sides: a wander beyond
 * the last entry would be no drift but another counter, one below the first counts as none.
 */
export const LEVEL_PER_WEEK = [0, 0.05, 0.12, 0.3, 0.7] as const
export const SLOPE_PER_QUARTER = [0, 0.002, 0.006, 0.02, 0.06] as const
export const SLIP_SHARES = [0, 0.25, 0.5, 0.75, 1] as const

/** Likelihoods below this share of the best one are left out. */
const NEGLIGIBLE = 1e-4

/** A spread below what readings written in millimetres resolve is not believed: half a millimetre either way, rectangular. */
const WRITTEN_TO_M = 0.001

export interface VarianceQuestion {
  readings: CounterReading[]
  today: number
  referenceTapeM: number
  /** Count less what level and slope cost. */
  freedom: number
  /** False where all checks lie on one day: then nothing can wander. */
  drifting: boolean
}

/** The likely sets of variances, weighted by likelihood. */
export function likelyVariances(question: VarianceQuestion): Candidate[] {
  const { readings, drifting } = question
  // where all tapes are alike nothing tells slip from reading, and all of it is taken for slip: the safe side
  const oneTape = readings.every((r) => r.tapeM === readings[0]!.tapeM)
  const all: Candidate[] = []
  for (const slipShare of oneTape ? [1] : SLIP_SHARES) {
    const points = pointsOf(question, slipShare)
    for (const level of drifting ? LEVEL_PER_WEEK : [0])
      for (const slope of drifting ? SLOPE_PER_QUARTER : [0]) {
        const wander = { levelPerDay: level ** 2 / 7, slopePerDay: slope ** 2 / 90 }
        all.push(candidateOf(question, wander, slipShare, points))
      }
  }
  const best = Math.max(...all.map((c) => c.logLikelihood))
  const likely = all.filter((c) => c.logLikelihood > best + Math.log(NEGLIGIBLE))
  const total = likely.reduce((sum, c) => sum + Math.exp(c.logLikelihood - best), 0)
  for (const c of likely) c.weight = Math.exp(c.logLikelihood - best) / total
  return likely
}

function pointsOf({ readings, today, referenceTapeM }: VarianceQuestion, slipShare: number): TrendPoint[] {
  const points: TrendPoint[] = readings.map((r) => ({
    tDay: r.day,
    y: r.errorRatio,
    noise: slipShare + (1 - slipShare) * (referenceTapeM / r.tapeM) ** 2,
  }))
  points.push({ tDay: today, y: null, noise: 1 })
  return points
}

/** The noise variance is profiled out with the degrees of freedom that level and slope cost (restricted likelihood). */
function candidateOf(
  { freedom, referenceTapeM }: VarianceQuestion,
  wander: Wander,
  slipShare: number,
  points: TrendPoint[],
): Candidate {
  const filtered = filterTrend(points, wander)
  const leastNoiseVar = (WRITTEN_TO_M / Math.sqrt(12) / referenceTapeM) ** 2
  const noiseVar = Math.max(filtered.squares / freedom, leastNoiseVar)
  const logLikelihood = -0.5 * (freedom * Math.log(noiseVar) + filtered.squares / noiseVar + filtered.logF)
  return { wander, slipShare, points, filtered, logLikelihood, noiseVar, weight: 0 }
}

export function likelyMean(candidates: Candidate[], of: (c: Candidate) => number): number {
  return candidates.reduce((sum, c) => sum + c.weight * of(c), 0)
}

/** Mean and covariance of the mixture at each point, in units of the readings. */
export function mixedStates(candidates: Candidate[], statesOf: (c: Candidate) => TrendState[]): TrendState[] {
  const paths = candidates.map(statesOf)
  return paths[0]!.map((_, i) => {
    let level = 0
    let slope = 0
    for (const [k, path] of paths.entries()) {
      level += candidates[k]!.weight * path[i]!.level
      slope += candidates[k]!.weight * path[i]!.slope
    }
    const mix: TrendState = { level, slope, varLevel: 0, cov: 0, varSlope: 0 }
    for (const [k, path] of paths.entries()) {
      const { noiseVar, weight } = candidates[k]!
      const s = path[i]!
      mix.varLevel += weight * (s.varLevel * noiseVar + (s.level - level) ** 2)
      mix.cov += weight * (s.cov * noiseVar + (s.level - level) * (s.slope - slope))
      mix.varSlope += weight * (s.varSlope * noiseVar + (s.slope - slope) ** 2)
    }
    return mix
  })
}
