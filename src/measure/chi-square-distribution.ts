import { incompleteGamma } from './gamma-function.ts'
import { risingRoot } from './rising-root.ts'

/** Probability that chi-square with so many degrees of freedom exceeds a value. */
export function chiSquareAbove(value: number, freedom: number): number {
  return incompleteGamma(freedom / 2, value / 2).upper
}

/** The value below which chi-square lies with the given probability. */
export function chiSquareQuantile(probability: number, freedom: number): number {
  if (!(probability >= 0 && probability < 1 && freedom > 0)) return Number.NaN
  if (probability === 0) return 0
  // whichever side keeps its digits
  return probability < 0.5
    ? risingRoot((x) => incompleteGamma(freedom / 2, x / 2).lower, probability)
    : risingRoot((x) => -incompleteGamma(freedom / 2, x / 2).upper, probability - 1)
}
