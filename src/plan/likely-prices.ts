import type { Branching } from './branching.ts'
import type { Duals } from './duals.ts'
import type { Master } from './master.ts'
import type { Effort, RelaxedPricer } from './relaxed-pricing.ts'
import { settled } from './settled-prices.ts'

/** A coarse grid: the one that a proof asks for takes many times as long. */
const EFFORT: Effort = { cells: 1024, nodes: 1 }
const MOST_ROUNDS = 40

/**
 * Prices that settle on a coarse grid, where lengths are rounded to the nearest cell: rounded down, as a proof must, so many
 * roundings would add up that the prices were astray. `pricer` rounds so; they prove nothing here, a bound is proven from
 * them on a finer grid. null where time ran out before they settled.
 */
export function likelyPrices(
  master: Master,
  pricer: RelaxedPricer,
  begun: Duals,
  asking: { branching: Branching; unservedMicro: number },
  over: () => boolean,
): Duals | null {
  const { centre } = settled(
    master,
    pricer,
    { centre: begun, boundMicro: Number.NEGATIVE_INFINITY },
    { ...asking, effort: EFFORT, level: 0, rounds: MOST_ROUNDS, enoughMicro: Number.POSITIVE_INFINITY },
    { over, late: over },
  )
  return over() ? null : centre
}
