/** Values nearer than this to the edge of a window are inside it: far below what is measured, far above rounding (degree or ps). */
export const EDGE = 1e-6

/** Disjoint sets, each as indices of the leads that were asked about, with the proven most that any choice could make. */
export interface FoundSets {
  sets: number[][]
  /** No choice makes more. Proven best where it equals the number of sets. */
  mostPossible: number
}

/**
 * The best disjoint sets of one size on a line: the most sets there can be; of those the choice whose widest set is
 * narrowest; of those the one with the least sum of widths. Exact, by three steps:
 *
 * 1. Some best choice has sets of neighbours in sorted order. Let two sets overlap; pool them and deal the lower half to one, the upper half to
 *    the other. The lower half lies between the pool's least value and the largest value of the set that owns it, so it is no wider than that set;
 *    the upper half likewise; and the two widths together are no more than the span of the pool, which overlapping sets fill. A lead that
 *    is left over inside a set takes the place of its farther end. Neither step widens any set beyond the widest or adds to the sum.
 * 2. For neighbours the most sets is interval scheduling: sweep upwards and close a set as soon as one fits. No choice closes its
 *    first set earlier, so by induction none closes more. The narrowest window that still gives as many is found by bisection over the widths.
 * 3. Within that window the least sum of widths is a shortest path over (leads passed, sets closed).
 */
export function setsInWindow(values: number[], size: number, window: number): FoundSets {
  const order = values.map((_, i) => i).sort((i, j) => values[i]! - values[j]! || i - j)
  const sorted = order.map((i) => values[i]!)
  const most = mostInWindow(sorted, size, window)
  if (most === 0) return { sets: [], mostPossible: 0 }
  const narrowest = narrowestWindow(sorted, size, window, most)
  const starts = leastSum(sorted, size, narrowest, most)
  return { sets: starts.map((start) => order.slice(start, start + size)), mostPossible: most }
}

/** The most disjoint sets of neighbours that fit the window; `sorted` rises. */
export function mostInWindow(sorted: number[], size: number, window: number): number {
  let count = 0
  for (let i = 0; i + size <= sorted.length; )
    if (sorted[i + size - 1]! - sorted[i]! <= window + EDGE) {
      count++
      i += size
    } else i++
  return count
}

function narrowestWindow(sorted: number[], size: number, window: number, most: number): number {
  const widths: number[] = []
  for (let i = 0; i + size <= sorted.length; i++) {
    const width = sorted[i + size - 1]! - sorted[i]!
    if (width <= window + EDGE) widths.push(width)
  }
  widths.sort((a, b) => a - b)
  let [low, high] = [0, widths.length - 1]
  while (low < high) {
    const middle = (low + high) >> 1
    if (mostInWindow(sorted, size, widths[middle]!) >= most) high = middle
    else low = middle + 1
  }
  return widths[low]!
}

/** Where each set begins: least sum of widths of so many sets. */
function leastSum(sorted: number[], size: number, window: number, most: number): number[] {
  const columns = most + 1
  // least[i·columns + c]: least sum of widths of c sets among the first i leads
  const least = new Float64Array((sorted.length + 1) * columns).fill(Number.POSITIVE_INFINITY)
  const closes = new Uint8Array(least.length)
  least[0] = 0
  for (let i = 1; i <= sorted.length; i++)
    for (let c = 0; c <= most; c++) {
      const at = i * columns + c
      least[at] = least[at - columns]!
      if (c === 0 || i < size) continue
      const width = sorted[i - 1]! - sorted[i - size]!
      const sum = least[(i - size) * columns + c - 1]! + width
      if (width <= window + EDGE && sum < least[at]!) {
        least[at] = sum
        closes[at] = 1
      }
    }
  const starts: number[] = []
  for (let i = sorted.length, c = most; c > 0; )
    if (closes[i * columns + c]) {
      i -= size
      c--
      starts.unshift(i)
    } else i--
  return starts
}
