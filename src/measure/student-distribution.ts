import { incompleteBeta } from './beta-function.ts'
import { normalQuantile } from './normal-distribution.ts'
import { risingRoot } from './rising-root.ts'

/** Beyond so many degrees of freedom Student's t is the normal distribution to 1e-9. */
const AS_GOOD_AS_NORMAL = 1e8

/** Probability that |t| exceeds a value: I_{ν/(ν+t²)}(ν/2, 1/2). */
export function studentTail(t: number, freedom: number): number {
  return incompleteBeta(freedom / 2, 0.5, freedom / (freedom + t * t))
}

/** The t below which Student's t with so many degrees of freedom (any number above nought) lies with the given probability. */
export function studentQuantile(probability: number, freedom: number): number {
  if (!(probability > 0 && probability < 1 && freedom > 0)) return Number.NaN
  if (freedom > AS_GOOD_AS_NORMAL) return normalQuantile(probability)
  const tail = Math.min(probability, 1 - probability)
  if (tail === 0.5) return 0
  const t = risingRoot((x) => -studentTail(x, freedom), -2 * tail)
  return probability < 0.5 ? -t : t
}

/**
 * Coverage factor k for a two-sided interval: t_p(ν), GUM G.3.4 and table G.2. The degrees of freedom are not cut to a
 * whole number: the distribution is defined between them as well (GUM G.4.1 note 1 allows interpolation).
 */
export function coverageFactor(probability: number, freedom: number): number {
  return studentQuantile((1 + probability) / 2, freedom)
}
