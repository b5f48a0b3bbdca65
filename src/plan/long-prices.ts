import type { MicroEur } from '../quantity/money.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import type { DealtDrum, DealtPlan, ShortPrices } from './long-branch.ts'
import { type LongNode, letsInChoice, letsInFilling } from './long-node.ts'
import { AS_MUCH_MICRO } from './master.ts'

const MICRO = 1e6
/** So little bought or sold is none. */
const NONE = 1e-6

/** The best prices near others, as far as the plans known tell. */
export interface PricedNear {
  /** No prices in the box prove more than this, as far as the plans known tell. */
  mostMicro: number
  prices: ShortPrices
  /** Whether the box holds them back. */
  boxed: boolean
  /** By drum: what it does in the mixture of plans that no prices tell from a plan. */
  mixture: DrumShare[][]
  /** The deal of long pieces that has most of it. */
  most: DealtPlan
}

/** How a drum is filled in a part of a mixture. */
export interface DrumShare {
  drum: DealtDrum
  share: number
}

/**
 * Prices of short pieces that make the cheapest of all plans known, with what they lack bought and what they have over sold, as
 * dear as may be. Known is every deal of long pieces with every filling of each drum that was once made beside the same choice. No
 * price moves from the centre by more than `box` of it, since far from what has been tried the plans known say little. null where
 * the library finds none.
 */
export function pricesNear(
  instance: TypeInstance,
  engine: LinearProgramEngine,
  unservedMicro: MicroEur,
  node: LongNode,
  box: number,
): PricedNear | null {
  const { centre, level } = node
  const lp = engine.create()
  try {
    const any = Number.POSITIVE_INFINITY
    const sum = lp.addRow(1, 1)
    const service = lp.addRow(Number.NEGATIVE_INFINITY, (unservedMicro + AS_MUCH_MICRO) / MICRO)
    const rows = new Map<number, number>()
    const sides: number[] = []
    for (const item of instance.items) {
      if (level.pieces.holds[item.index]) continue
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
    const { deals, fillings } = knownOf(node)
    // what is chosen for a drum in so much of the mixture is filled in some way in as much of it
    const links = fillings.map((of) => new Map([...of.keys()].map((key) => [key, lp.addRow(0, 0)])))
    const dealColumns = deals.map(({ besideMicro, weightMicro, drums }) => {
      const chosen = drums.flatMap(({ key }, d) => links[d]!.get(key) ?? [])
      const ones = chosen.map(() => -1)
      const at = [sum, service, ...chosen]
      return lp.addColumn(besideMicro / MICRO, 0, any, at, [1, weightMicro / MICRO, ...ones])
    })
    const columns = fillings.map((of, d) =>
      [...of].flatMap(([key, drums]) =>
        [...drums.values()].map((drum) => {
          const entries = [...drum.amounts].filter(([item]) => rows.has(item))
          const at = [links[d]!.get(key)!, ...entries.map(([item]) => rows.get(item)!)]
          const column = lp.addColumn(drum.costMicro / MICRO, 0, any, at, [1, ...entries.map(([, n]) => n)])
          return { drum, column }
        }),
      ),
    )
    const solved = lp.solve()
    if (!solved) return null
    const items = Float64Array.from(centre.items)
    for (const [item, row] of rows) items[item] = Math.max(0, Math.round(solved.duals[row]! * MICRO))
    return {
      mostMicro: solved.objective * MICRO,
      prices: { items, service: Math.max(0, -solved.duals[service]!) },
      boxed: sides.some((c) => solved.values[c]! > NONE),
      most: deals[greatest(dealColumns.map((c) => solved.values[c]!))]!,
      mixture: columns.map((of) => of.map(({ drum, column }) => ({ drum, share: solved.values[column]! }))),
    }
  } finally {
    lp.dispose()
  }
}

function greatest(of: number[]): number {
  return of.reduce((best, value, i) => (value > of[best]! ? i : best), 0)
}

/** The deals that a node lets in, each once, and by drum and choice the fillings that it lets in. */
function knownOf(node: LongNode): { deals: DealtPlan[]; fillings: Map<string, Map<string, DealtDrum>>[] } {
  const deals = new Map<string, DealtPlan>()
  const fillings = node.drums.map(() => new Map<string, Map<string, DealtDrum>>())
  for (const plan of node.level.dealt) {
    if (!plan.drums.every((drum, d) => letsInChoice(node, d, drum))) continue
    const name = `${plan.drums.map((drum) => drum.key).join(' ')} ${plan.weightMicro}`
    const known = deals.get(name)
    if (!known || plan.besideMicro < known.besideMicro) deals.set(name, plan)
    for (const [d, drum] of plan.drums.entries()) {
      const of = fillings[d]!.get(drum.key) ?? new Map<string, DealtDrum>()
      fillings[d]!.set(drum.key, of)
      if (letsInFilling(node, d, drum)) of.set(`${drum.costMicro} ${drum.putups} ${drum.restUm}`, drum)
    }
  }
  return { deals: [...deals.values()], fillings }
}
