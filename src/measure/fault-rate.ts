import { chiSquareQuantile } from './chi-square-distribution.ts'
import { incompleteGamma } from './gamma-function.ts'

/** A rate of faults per km, with limits that are exact for counted faults. */
export interface FaultRate {
  faults: number
  lengthKm: number
  perKm: number
  lowerPerKm: number
  upperPerKm: number
  /** Expected clean length from any place to the next fault, m; null where none was found: then only its lower limit is known. */
  cleanM: number | null
  cleanAtLeastM: number
}

/**
 * Limits of the mean of a Poisson count, two-sided: χ²(α/2; 2n)/2 and χ²(1 − α/2; 2n + 2)/2 (Garwood 1936, Biometrika 28;
 * R's poisson.test uses the same).
 */
export function poissonLimits(count: number, confidence = 0.95): { lower: number; upper: number } {
  const tail = (1 - confidence) / 2
  return {
    lower: count === 0 ? 0 : chiSquareQuantile(tail, 2 * count) / 2,
    upper: chiSquareQuantile(1 - tail, 2 * count + 2) / 2,
  }
}

/** Upper limit alone, with all of the doubt on that side. */
export function poissonUpper(count: number, confidence = 0.95): number {
  return chiSquareQuantile(confidence, 2 * count + 2) / 2
}

/** null where no length was looked at. Faults are taken to fall anywhere alike; a length of L is then clean with probability exp(−rate·L). */
export function faultRate(faults: number, lengthKm: number, confidence = 0.95): FaultRate | null {
  if (!(lengthKm > 0)) return null
  const { lower, upper } = poissonLimits(faults, confidence)
  return {
    faults,
    lengthKm,
    perKm: faults / lengthKm,
    lowerPerKm: lower / lengthKm,
    upperPerKm: upper / lengthKm,
    cleanM: faults === 0 ? null : (1000 * lengthKm) / faults,
    cleanAtLeastM: (1000 * lengthKm) / upper,
  }
}

/** Probability that a sample with so many faults on average shows at most `accept`: P(N ≤ c) = Q(c + 1, mean). */
export function acceptanceProbability(meanFaults: number, accept: number): number {
  return incompleteGamma(accept + 1, meanFaults).upper
}
