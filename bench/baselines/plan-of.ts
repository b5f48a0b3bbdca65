import type { OrderLine } from '../../src/order/order-line.ts'
import type { Catalog } from '../../src/plan/catalog.ts'
import type { Plan, Unserved } from '../../src/plan/plan.ts'
import { materialMicro, scrapMicroPerM } from '../../src/plan/tariff.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import { mountingOf } from './mounting-of.ts'
import type { ShelfDrum } from './shelf.ts'

/** The plan that a greedy planner has made: cuts, what is unserved, what it costs. */
export function planOf(catalog: Catalog, shelf: ShelfDrum[], served: Map<OrderLine, number>): Plan {
  const { input } = catalog
  const cableOrder = new Map(input.cables.map((c, i) => [c.cable, i]))
  const used = shelf
    .filter((d) => d.placed.length > 0)
    .sort((a, b) => cableOrder.get(a.cable.cable)! - cableOrder.get(b.cable.cable)!)
  const mountings = used.map((drum) => mountingOf(catalog, drum))
  const unserved: Unserved[] = input.orders.flatMap((line) => {
    const missing = line.qty - (served.get(line) ?? 0)
    const reason = 'No place is left that is long enough.'
    return missing > 0
      ? [{ order: line.order, orderLine: line.line, pieces: missing, reason, offer: null }]
      : []
  })
  const verdict = verifyPlan(input, { mountings, unserved })
  if (verdict.broken.length > 0)
    throw new Error(`a baseline broke a rule: ${JSON.stringify(verdict.broken[0])}`)
  return {
    works: input.folder,
    seed: 0,
    work: 0,
    mountings,
    unserved,
    stopped: false,
    byCable: [],
    unservedMicro: verdict.unservedMicro,
    costMicro: verdict.costMicro,
    costItems: verdict.costItems,
    deliveredMicro: verdict.deliveredMicro,
    bound: { unservedMicro: 0, costMicro: leastThinkableCost(catalog) },
  }
}

/** True of every plan, and good for nothing else: everything delivered, everything sold for its copper, nothing lost. */
function leastThinkableCost({ input, cables, drums }: Catalog): number {
  const delivered = input.orders.reduce(
    (s, o) => s + materialMicro(input.costs, o.cable, o.lengthUm) * o.qty,
    0,
  )
  const copper = [...drums.values()].reduce(
    (s, d) => s + (d.lengthUm / 1e6) * scrapMicroPerM(input.costs, cables.get(d.drum.cable)!),
    0,
  )
  return -Math.ceil(delivered + copper)
}
