import { normalBelow, normalQuantile } from './normal-distribution.ts'

/** Probability that the true value lies within limits, given what was measured and how surely (JCGM 106:2012 7.3). */
export function conformanceProbability(
  measured: number,
  standard: number,
  limits: { lower?: number; upper?: number },
): number {
  const below = limits.lower === undefined ? 0 : normalBelow((limits.lower - measured) / standard)
  const above = limits.upper === undefined ? 0 : normalBelow((measured - limits.upper) / standard)
  return 1 - below - above
}

export interface Capability {
  cp: number
  cpk: number
  /** Share of what is made that lies outside. */
  outside: number
}

/** How well a spread fits between two limits (NIST/SEMATECH e-Handbook 6.1.6). */
export function capability(mean: number, sd: number, lower: number, upper: number): Capability {
  return {
    cp: (upper - lower) / (6 * sd),
    cpk: Math.min(upper - mean, mean - lower) / (3 * sd),
    outside: 1 - conformanceProbability(mean, sd, { lower, upper }),
  }
}

/** Standard deviation of what is made, where so large a share of it lies within ±1. */
export function spreadOfInTolerance(share: number): number {
  return 1 / normalQuantile((1 + share) / 2)
}

const SIMPSON_STEPS = 4_000
/** A normal quantity further out than so many standard deviations is left out: below 1e-15. */
const FAR_OUT = 8

/**
 * Probability that one unit is both outside ±1 and accepted: made N(0, spread), measured with standard uncertainty `standard`,
 * accepted within ±accept (JCGM 106:2012 9.5; Simpson's rule over the true value).
 */
export function falseAcceptProbability(spread: number, standard: number, accept = 1): number {
  const far = 1 + FAR_OUT * spread
  const width = (far - 1) / SIMPSON_STEPS
  let sum = 0
  for (let i = 0; i <= SIMPSON_STEPS; i++) {
    const x = 1 + i * width
    const made = Math.exp(-0.5 * (x / spread) ** 2) / (spread * Math.sqrt(2 * Math.PI))
    const passes = normalBelow((accept - x) / standard) - normalBelow((-accept - x) / standard)
    sum += made * passes * (i === 0 || i === SIMPSON_STEPS ? 1 : i % 2 ? 4 : 2)
  }
  // both sides of a symmetric tolerance
  return (2 * sum * width) / 3
}

/**
 * Factors by which a tolerance is narrowed into acceptance limits, by the ratio of tolerance to expanded uncertainty: root sum of squares, the
 * whole uncertainty taken off (ILAC-G8:2019 4.2.3), and the two formulas of RP-10 and of a managed 2 % risk, as the
 * calibration laboratories' recommended practices give them.
 */
export function guardFactors(uncertaintyRatio: number): {
  rss: number
  linear: number
  rp10: number
  managed: number
} {
  return {
    rss: Math.sqrt(1 - 1 / uncertaintyRatio ** 2),
    linear: 1 - 1 / uncertaintyRatio,
    rp10: Math.min(1, 1.25 - 1 / uncertaintyRatio),
    managed: 1.04 - Math.exp(0.38 * Math.log(uncertaintyRatio) - 0.54),
  }
}
