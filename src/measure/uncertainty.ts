/** One standard uncertainty with the degrees of freedom it is known by (Infinity where nothing doubts it). */
export interface UncertaintyPart {
  standard: number
  freedom: number
}

/**
 * Independent parts together, in one unit: root of the sum of squares (GUM 5.1.2) and the effective degrees of freedom after Welch and
 * Satterthwaite, u⁴/Σ(uᵢ⁴/νᵢ) (GUM G.2b).
 */
export function combinedUncertainty(parts: UncertaintyPart[]): UncertaintyPart {
  const square = parts.reduce((sum, p) => sum + p.standard ** 2, 0)
  const fourth = parts.reduce((sum, p) => sum + p.standard ** 4 / p.freedom, 0)
  return {
    standard: Math.sqrt(square),
    freedom: fourth > 0 ? square ** 2 / fourth : Number.POSITIVE_INFINITY,
  }
}

/** Standard uncertainty of a quantity known only to lie within ± a half-width, each place alike (GUM 4.3.7). */
export function rectangular(halfWidth: number): number {
  return halfWidth / Math.sqrt(3)
}
