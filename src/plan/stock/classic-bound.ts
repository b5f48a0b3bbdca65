import type { ClassicProblem } from './classic-problem.ts'
import { commonDivisor } from './common-divisor.ts'

/** Prices of the pieces in whole units of 1/`perCost` of the problem's cost, and the most that each bar earns at them. */
export interface PricedBars {
  perCost: number
  prices: Float64Array
  /** No filling of bar k earns more than worths[k]. */
  worths: Float64Array
}

/**
 * A cost that no plan goes below, from any prices of the pieces, in exact whole numbers (no floating-point objective is believed).
 *
 * Where a bar earns more than it costs its prices are too high: with enough copies of it all prices are scaled down by the worst
 * ratio (Farley, Operations Research 38, 1990), with few copies the excess is paid back copy by copy (Lagrange). The sum is
 * rounded up to the common divisor of the bars' costs.
 */
export function provenCost(problem: ClassicProblem, priced: PricedBars): number {
  const { perCost, prices, worths } = priced
  const { bars, pieces } = problem
  const pieceCount = pieces.reduce((sum, piece) => sum + piece.demand, 0)
  const plenty = bars.map((bar) => bar.copies >= pieceCount)
  let best = 0n
  let bestBy = 1n
  // which bars are scaled for: those in plenty, or all of them
  for (const scaled of [plenty, bars.map(() => true)]) {
    let num = 1n
    let den = 1n
    bars.forEach((bar, k) => {
      const cost = BigInt(bar.cost) * BigInt(perCost)
      const worth = BigInt(worths[k]!)
      if (scaled[k] && worth > cost && cost * den < num * worth) {
        num = cost
        den = worth
      }
    })
    let total = 0n
    pieces.forEach((piece, i) => {
      total += BigInt(prices[i]!) * BigInt(piece.demand) * num
    })
    bars.forEach((bar, k) => {
      const over = num * BigInt(worths[k]!) - den * BigInt(bar.cost) * BigInt(perCost)
      if (over > 0n) total -= over * BigInt(Math.min(bar.copies, pieceCount))
    })
    if (total * bestBy > best * den) {
      best = total
      bestBy = den
    }
  }
  const step = bars.reduce((common, bar) => commonDivisor(common, bar.cost), 0)
  const unit = bestBy * BigInt(perCost) * BigInt(step)
  return Number((best + unit - 1n) / unit) * step
}
