/** Lanczos coefficients for g = 7, nine terms (Godfrey's set; relative error below 1e-14 for positive arguments). */
const LANCZOS = [
  0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
  12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
] as const

const LAST_TERM = 1e-17
const MOST_TERMS = 100_000

/** Natural logarithm of the gamma function, argument above nought. */
export function lnGamma(x: number): number {
  if (x < 0.5) return Math.log(Math.PI / Math.sin(Math.PI * x)) - lnGamma(1 - x)
  const z = x - 1
  const t = z + 7.5
  let sum = LANCZOS[0]
  for (let i = 1; i < 9; i++) sum += LANCZOS[i]! / (z + i)
  return 0.5 * Math.log(2 * Math.PI) + (z + 0.5) * Math.log(t) - t + Math.log(sum)
}

/** Regularised lower incomplete gamma P(a, x) and its complement Q: each computed where it does not cancel (NIST DLMF 8.7.1, 8.9.2). */
export function incompleteGamma(a: number, x: number): { lower: number; upper: number } {
  if (x <= 0) return { lower: 0, upper: 1 }
  if (x === Number.POSITIVE_INFINITY) return { lower: 1, upper: 0 }
  const front = Math.exp(a * Math.log(x) - x - lnGamma(a))
  if (x < a + 1) {
    const lower = front * gammaSeries(a, x)
    return { lower, upper: 1 - lower }
  }
  const upper = front * gammaFraction(a, x)
  return { lower: 1 - upper, upper }
}

function gammaSeries(a: number, x: number): number {
  let term = 1 / a
  let sum = term
  for (let n = 1; n < MOST_TERMS && term > sum * LAST_TERM; n++) {
    term *= x / (a + n)
    sum += term
  }
  return sum
}

/** Continued fraction by the modified Lentz method. */
function gammaFraction(a: number, x: number): number {
  let b = x + 1 - a
  let c = 1e300
  let d = 1 / b
  let value = d
  for (let n = 1; n < MOST_TERMS; n++) {
    const an = -n * (n - a)
    b += 2
    d = 1 / notNought(an * d + b)
    c = notNought(b + an / c)
    const step = c * d
    value *= step
    if (Math.abs(step - 1) < 1e-16) break
  }
  return value
}

/** Keeps a continued fraction from dividing by nought. */
export function notNought(x: number): number {
  return Math.abs(x) < 1e-300 ? 1e-300 : x
}
