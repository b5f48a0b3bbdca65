const MOST_HALVINGS = 400

/**
 * Where a rising function of a positive argument reaches a value: the bracket is doubled until it holds the place, then
 * halved to the last bit. Slow and sure; quantiles are asked for a few times a sheet.
 */
export function risingRoot(rising: (x: number) => number, value: number): number {
  let high = 1
  while (rising(high) < value && high < 1e300) high *= 2
  let low = high
  while (rising(low) > value && low > 1e-300) low /= 2
  for (let i = 0; i < MOST_HALVINGS; i++) {
    const middle = low + (high - low) / 2
    if (middle <= low || middle >= high) break
    if (rising(middle) < value) low = middle
    else high = middle
  }
  return low + (high - low) / 2
}
