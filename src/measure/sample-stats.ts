/** Mean and spread of readings of one quantity. */
export interface SampleStats {
  count: number
  mean: number
  /** Standard deviation of the readings, divisor n − 1; null below two readings. */
  sd: number | null
  /** Standard error of the mean, sd/√n; null below two readings. */
  standardError: number | null
}

/**
 * Two passes with the mean corrected by the residuals, so that readings with a large common offset lose no digits
 * (checked against NIST StRD NumAcc1, 2 and 4).
 */
export function sampleStats(readings: number[]): SampleStats {
  const count = readings.length
  if (count === 0) return { count, mean: Number.NaN, sd: null, standardError: null }
  const rough = readings.reduce((sum, x) => sum + x, 0) / count
  const mean = rough + readings.reduce((sum, x) => sum + (x - rough), 0) / count
  if (count < 2) return { count, mean, sd: null, standardError: null }
  const squares = readings.reduce((sum, x) => sum + (x - mean) ** 2, 0)
  const drift = readings.reduce((sum, x) => sum + (x - mean), 0)
  const sd = Math.sqrt((squares - (drift * drift) / count) / (count - 1))
  return { count, mean, sd, standardError: sd / Math.sqrt(count) }
}
