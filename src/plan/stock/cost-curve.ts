/**
 * The least of cost − price × length over points (length, cost), for any price: the lower convex hull of the points. Used for bounds, so
 * that a hull may lie below its points, never above.
 */
export class CostCurve {
  readonly #lengths: Float64Array
  readonly #costs: Float64Array
  /** Length at the least found last. */
  at = 0

  /** Points by growing length. */
  constructor(lengths: number[], costs: number[]) {
    const hull: number[] = []
    for (let i = 0; i < lengths.length; i++) {
      while (hull.length > 0 && lengths[hull[hull.length - 1]!] === lengths[i]) {
        if (costs[hull[hull.length - 1]!]! <= costs[i]!) break
        hull.pop()
      }
      if (hull.length > 0 && lengths[hull[hull.length - 1]!] === lengths[i]) continue
      while (hull.length >= 2) {
        const p = hull[hull.length - 2]!
        const q = hull[hull.length - 1]!
        const left = (costs[q]! - costs[p]!) * (lengths[i]! - lengths[q]!)
        const right = (costs[i]! - costs[q]!) * (lengths[q]! - lengths[p]!)
        // rounding keeps a point too many rather than one too few
        if (left - right <= 1e-9 * Math.abs(left)) break
        hull.pop()
      }
      hull.push(i)
    }
    this.#lengths = Float64Array.from(hull, (i) => lengths[i]!)
    this.#costs = Float64Array.from(hull, (i) => costs[i]!)
  }

  get empty(): boolean {
    return this.#lengths.length === 0
  }

  /** Least of cost − price × length; of equals the longest. Infinity where there is no point. */
  least(price: number): number {
    const n = this.#lengths.length
    if (n === 0) return Number.POSITIVE_INFINITY
    let low = 0
    let high = n - 1
    while (low < high) {
      const mid = (low + high) >>> 1
      const step =
        this.#costs[mid + 1]! - this.#costs[mid]! - price * (this.#lengths[mid + 1]! - this.#lengths[mid]!)
      if (step <= 0) low = mid + 1
      else high = mid
    }
    this.at = this.#lengths[low]!
    return this.#costs[low]! - price * this.at
  }
}
