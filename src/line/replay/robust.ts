/** Estimates that a few wild values do not move. */

/** Middle value; NaN of an empty list. Does not change its argument. */
export function median(values: ArrayLike<number>): number {
  const sorted = Float64Array.from(values).sort()
  const half = sorted.length >> 1
  if (sorted.length === 0) return Number.NaN
  return sorted.length % 2 === 1 ? sorted[half]! : (sorted[half - 1]! + sorted[half]!) / 2
}

/** Standard deviation by the median absolute deviation from the median; 1.4826 makes it right for normal scatter (1/Φ⁻¹(3/4)). */
export function robustSd(values: ArrayLike<number>): number {
  const middle = median(values)
  return 1.4826 * median(Float64Array.from(values, (value) => Math.abs(value - middle)))
}

/** Sums of values[0..i): one longer than the list. */
export function prefixSums(values: ArrayLike<number>): Float64Array {
  const sums = new Float64Array(values.length + 1)
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i]! + values[i]!
  return sums
}

export interface Straight {
  level: number
  slope: number
  /** Standard error of the slope, from the scatter about the line; NaN below three points. */
  slopeError: number
}

/** Least-squares line y = level + slope · (x − mean x). */
export function straightThrough(x: ArrayLike<number>, y: ArrayLike<number>): Straight {
  const count = x.length
  let meanX = 0
  let meanY = 0
  for (let i = 0; i < count; i++) {
    meanX += x[i]! / count
    meanY += y[i]! / count
  }
  let xx = 0
  let xy = 0
  let yy = 0
  for (let i = 0; i < count; i++) {
    xx += (x[i]! - meanX) ** 2
    xy += (x[i]! - meanX) * (y[i]! - meanY)
    yy += (y[i]! - meanY) ** 2
  }
  const slope = xx > 0 ? xy / xx : 0
  const rest = Math.max(0, yy - slope * xy)
  return { level: meanY, slope, slopeError: count > 2 && xx > 0 ? Math.sqrt(rest / (count - 2) / xx) : NaN }
}

/**
 * Least absolute deviations of y on the columns of `x` by iteratively reweighted least squares (Schlossmacher, JASA 68,
 * 1973): a slip in a few blocks must not bend what holds for all others. Columns that say nothing get the factor 0.
 */
export function leastDeviations(y: ArrayLike<number>, x: ArrayLike<number>[], floor: number): number[] {
  let factors = x.map(() => 0)
  for (let round = 0; round < 12; round++) {
    const weight = Float64Array.from(y, (value, i) => {
      let rest = value
      for (const [k, column] of x.entries()) rest -= factors[k]! * column[i]!
      return round === 0 ? 1 : 1 / Math.max(Math.abs(rest), floor)
    })
    factors = weighted(y, x, weight)
  }
  return factors
}

function weighted(y: ArrayLike<number>, x: ArrayLike<number>[], weight: Float64Array): number[] {
  const size = x.length
  const rows = x.map((a, r) => {
    const row = x.map((b) => dot(a, b, weight))
    row.push(dot(a, y, weight))
    // a trace on the diagonal keeps a column of noughts from dividing by nought
    row[r] = row[r]! * (1 + 1e-9) + 1e-12
    return row
  })
  for (let c = 0; c < size; c++)
    for (let r = 0; r < size; r++) {
      if (r === c) continue
      const share = rows[r]![c]! / rows[c]![c]!
      for (let k = c; k <= size; k++) rows[r]![k] = rows[r]![k]! - share * rows[c]![k]!
    }
  return rows.map((row, c) => row[size]! / row[c]!)
}

function dot(a: ArrayLike<number>, b: ArrayLike<number>, weight: Float64Array): number {
  let sum = 0
  for (let i = 0; i < weight.length; i++) sum += a[i]! * b[i]! * weight[i]!
  return sum
}
