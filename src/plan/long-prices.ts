import type { MicroEur } from '../quantity/money.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import type { LongPieces } from './long-pieces.ts'
import { AS_MUCH_MICRO } from './master.ts'

const MICRO = 1e6
/** A share below this in the best mixture of plans is none. */
const NONE = 1e-6

/** Prices of short pieces, by item, and of service: what a micro-euro more left unserved would save. */
export interface ShortPrices {
  items: Float64Array
  service: number
}

/** A whole plan as far as prices of short pieces are concerned. */
export interface PricedPlan {
  /** Without the credit forgone for short pieces that it lacks. */
  costMicro: MicroEur
  /** Short pieces by item. */
  amounts: ReadonlyMap<number, number>
  /** What its long pieces left unserved weigh. */
  weightMicro: MicroEur
}

/** The best prices near others, as far as the plans known tell. */
export interface PricedNear {
  /** No prices in the box prove more than this, as far as the plans known tell. */
  mostMicro: number
  prices: ShortPrices
  /** Whether the box holds them back. */
  boxed: boolean
  /** Share of each plan in the mixture that no prices tell from a plan. */
  shares: Float64Array
}

/**
 * Prices of short pieces that make the cheapest of all plans known, with what they lack bought and what they have over sold, as
 * dear as may be. No price moves from the centre by more than `box` of it, since far from what has been tried the plans known say
 * little. null where the library finds none.
 */
export function pricesNear(
  instance: TypeInstance,
  pieces: LongPieces,
  engine: LinearProgramEngine,
  unservedMicro: MicroEur,
  plans: PricedPlan[],
  centre: ShortPrices,
  box: number,
): PricedNear | null {
  const lp = engine.create()
  try {
    const any = Number.POSITIVE_INFINITY
    const sum = lp.addRow(1, 1)
    const service = lp.addRow(Number.NEGATIVE_INFINITY, (unservedMicro + AS_MUCH_MICRO) / MICRO)
    const rows = new Map<number, number>()
    const sides: number[] = []
    for (const item of instance.items) {
      if (pieces.holds[item.index]) continue
      const row = lp.addRow(item.demand * item.leastShare, any)
      rows.set(item.index, row)
      for (const tier of item.tiers)
        lp.addColumn(item.creditMicro / MICRO, 0, tier.pieces, [row, service], [1, tier.weightMicro / MICRO])
      const at = centre.items[item.index]!
      const by = box * Math.max(at, item.creditMicro)
      sides.push(lp.addColumn((at + by) / MICRO, 0, any, [row], [1]))
      if (at > by) sides.push(lp.addColumn((by - at) / MICRO, 0, any, [row], [-1]))
    }
    const by = box * Math.max(centre.service, 1)
    sides.push(lp.addColumn(centre.service + by, 0, any, [service], [-1]))
    if (centre.service > by) sides.push(lp.addColumn(by - centre.service, 0, any, [service], [1]))
    const columns = plans.map(({ costMicro, amounts, weightMicro }) => {
      const entries = [...amounts].filter(([item]) => rows.has(item))
      const at = [sum, service, ...entries.map(([item]) => rows.get(item)!)]
      return lp.addColumn(costMicro / MICRO, 0, any, at, [
        1,
        weightMicro / MICRO,
        ...entries.map(([, n]) => n),
      ])
    })
    const solved = lp.solve()
    if (!solved) return null
    const items = Float64Array.from(centre.items)
    for (const [item, row] of rows) items[item] = Math.max(0, Math.round(solved.duals[row]! * MICRO))
    return {
      mostMicro: solved.objective * MICRO,
      prices: { items, service: Math.max(0, -solved.duals[service]!) },
      boxed: sides.some((c) => solved.values[c]! > NONE),
      shares: Float64Array.from(columns, (c) => solved.values[c]!),
    }
  } finally {
    lp.dispose()
  }
}
