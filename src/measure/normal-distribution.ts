import { incompleteGamma } from './gamma-function.ts'
import { risingRoot } from './rising-root.ts'

/** Probability that a standard normal quantity lies below z; Φ(−z) = Q(1/2, z²/2)/2. */
export function normalBelow(z: number): number {
  const tail = incompleteGamma(0.5, (z * z) / 2).upper / 2
  return z < 0 ? tail : 1 - tail
}

/** The z below which a standard normal quantity lies with the given probability. */
export function normalQuantile(probability: number): number {
  if (!(probability > 0 && probability < 1)) return Number.NaN
  // looked for in the tail, which keeps its digits far out; 1 − p is exact there
  const tail = Math.min(probability, 1 - probability)
  if (tail === 0.5) return 0
  const z = risingRoot((x) => -incompleteGamma(0.5, (x * x) / 2).upper / 2, -tail)
  return probability < 0.5 ? -z : z
}
