/** A line through readings by least squares. */
export interface LineFit {
  intercept: number
  slope: number
  interceptSd: number
  slopeSd: number
  /** Standard deviation about the line. */
  sd: number
  /** Degrees of freedom: count less two. */
  freedom: number
}

/** Ordinary least squares about the means (checked against NIST StRD Norris); null below three readings or where all x are alike. */
export function straightLine(x: number[], y: number[]): LineFit | null {
  const n = x.length
  if (n < 3) return null
  const meanX = x.reduce((a, b) => a + b, 0) / n
  const meanY = y.reduce((a, b) => a + b, 0) / n
  let sxx = 0
  let sxy = 0
  for (let i = 0; i < n; i++) {
    sxx += (x[i]! - meanX) ** 2
    sxy += (x[i]! - meanX) * (y[i]! - meanY)
  }
  if (sxx === 0) return null
  const slope = sxy / sxx
  let squares = 0
  for (let i = 0; i < n; i++) squares += (y[i]! - meanY - slope * (x[i]! - meanX)) ** 2
  const sd = Math.sqrt(squares / (n - 2))
  const interceptSd = sd * Math.sqrt(1 / n + meanX ** 2 / sxx)
  return {
    intercept: meanY - slope * meanX,
    slope,
    interceptSd,
    slopeSd: sd / Math.sqrt(sxx),
    sd,
    freedom: n - 2,
  }
}

/** A line through nought (checked against NIST StRD NoInt1); null below two readings or where all x are nought. */
export function lineThroughNought(
  x: number[],
  y: number[],
): Omit<LineFit, 'intercept' | 'interceptSd'> | null {
  const sxx = x.reduce((sum, v) => sum + v * v, 0)
  if (x.length < 2 || sxx === 0) return null
  const slope = x.reduce((sum, v, i) => sum + v * y[i]!, 0) / sxx
  const squares = x.reduce((sum, v, i) => sum + (y[i]! - slope * v) ** 2, 0)
  const sd = Math.sqrt(squares / (x.length - 1))
  return { slope, slopeSd: sd / Math.sqrt(sxx), sd, freedom: x.length - 1 }
}
