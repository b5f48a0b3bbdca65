import { lnGamma, notNought } from './gamma-function.ts'

const MOST_TERMS = 10_000

/** Regularised incomplete beta I_x(a, b), 0 ≤ x ≤ 1, by its continued fraction (NIST DLMF 8.17.22). */
export function incompleteBeta(a: number, b: number, x: number): number {
  if (x <= 0) return 0
  if (x >= 1) return 1
  // the fraction converges fast on this side of the mean only
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(b, a, 1 - x)
  const front = Math.exp(lnGamma(a + b) - lnGamma(a) - lnGamma(b) + a * Math.log(x) + b * Math.log1p(-x))
  return (front / a) * betaFraction(a, b, x)
}

function betaFraction(a: number, b: number, x: number): number {
  let c = 1
  let d = 1 / notNought(1 - ((a + b) * x) / (a + 1))
  let value = d
  for (let m = 1; m < MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m))
    d = 1 / notNought(1 + even * d)
    c = notNought(1 + even / c)
    value *= d * c
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1))
    d = 1 / notNought(1 + odd * d)
    c = notNought(1 + odd / c)
    const step = d * c
    value *= step
    if (Math.abs(step - 1) < 1e-16) break
  }
  return value
}
