import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import { placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import { barestCutUm, type Item, leastCutUm } from './item.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { RelaxedFill } from './relaxed-fill.ts'
import { looseOffer, looseShare } from './relaxed-offers.ts'
import type { Offered } from './stretch-fill.ts'
import { unservedOf } from './type-solution.ts'

const CELLS = 4096
const MOST_ROUNDS = 60
const MICRO = 1e6

/** Most pieces of an item that one lot can give, were it cut for nothing else. */
export function mostOfLot(instance: TypeInstance, item: Item, lot: string): number {
  const leastUm = leastCutUm(item)
  let most = 0
  for (const { usable, relaxed } of instance.drums)
    if (usable.drum.lot === lot)
      for (const s of relaxed) {
        if (!s.allowed[item.index] || s.toUm <= s.fromUm) continue
        const lengthUm = s.toUm - s.fromUm
        if (item.loose) most += lengthUm * looseShare(item)
        else if (item.split) most += lengthUm / (item.declaredUm * item.leastShare)
        else most += Math.floor(lengthUm / leastUm)
      }
  return Math.min(item.demand, most)
}

/**
 * What must stay unserved whatever is cut: pieces that no drum can hold, more pieces than all drums hold, and of a lot group
 * what its best lot cannot give.
 */
export function plainServiceBound(instance: TypeInstance): MicroEur {
  const lots = [...new Set(instance.drums.map((d) => d.usable.drum.lot))]
  const missing = (item: Item, most: number) =>
    unservedOf(item, Math.max(0, Math.ceil(item.demand - most - 1e-7)))
  let bound = 0
  const groups = new Map<string, Item[]>()
  for (const item of instance.items) {
    if (item.group !== null) groups.set(item.group, [...(groups.get(item.group) ?? []), item])
    else {
      const fits = instance.drums.some((d) => d.fits[item.index])
      bound += missing(item, fits ? lots.reduce((sum, lot) => sum + mostOfLot(instance, item, lot), 0) : 0)
    }
  }
  for (const items of groups.values()) {
    const byLot = lots.map((lot) =>
      items.reduce((sum, item) => sum + missing(item, mostOfLot(instance, item, lot)), 0),
    )
    bound += byLot.length > 0 ? Math.min(...byLot) : items.reduce((sum, item) => sum + missing(item, 0), 0)
  }
  return bound
}

/**
 * Proven lower bound on what stays unserved where stock is short: column generation in which only service counts. Each
 * stretch is filled by itself with the full demand at hand, lengths rounded down; lot groups may draw on every lot.
 */
export function shortStockBound(
  instance: TypeInstance,
  engine: LinearProgramEngine,
  late: () => boolean,
): MicroEur {
  const lp = engine.create()
  const fill = new RelaxedFill()
  try {
    const itemRows = instance.items.map((i) => lp.addRow(i.demand * i.leastShare, Number.POSITIVE_INFINITY))
    for (const item of instance.items)
      for (const tier of item.tiers)
        lp.addColumn(tier.weightMicro / MICRO, 0, tier.pieces, [itemRows[item.index]!], [1])
    const stretches = instance.drums.flatMap((d) =>
      d.relaxed.map((s) => ({
        lengthUm: s.toUm - s.fromUm,
        open: instance.items.filter(
          (i) =>
            s.allowed[i.index] &&
            d.fits[i.index] &&
            d.places.some((p) => i.options.some((o) => placeTakes(p, i, o.putup))),
        ),
      })),
    )
    const rows = stretches.map(() => lp.addRow(Number.NEGATIVE_INFINITY, 1))
    let bound = 0
    for (let round = 0; round < MOST_ROUNDS && !late(); round++) {
      const solved = lp.solve()
      if (!solved) break
      const prices = itemRows.map((row) => Math.max(0, Math.round(solved.duals[row]! * MICRO)))
      let now = 0
      for (const item of instance.items) {
        now += prices[item.index]! * item.demand * item.leastShare
        for (const tier of item.tiers)
          now += Math.min(0, tier.weightMicro - prices[item.index]!) * tier.pieces
      }
      let added = 0
      for (const [s, { lengthUm, open }] of stretches.entries()) {
        const cellUm = Math.max(1, Math.ceil(lengthUm / CELLS))
        fill.run(lengthUm, cellUm, offeredOf(open, prices, lengthUm), () => 0)
        const worth = fill.best[fill.cells]!
        now -= Math.ceil(worth) + 1
        if (worth < -solved.duals[rows[s]!]! * MICRO + 1) continue
        const amounts = new Map<number, number>()
        for (const t of fill.taken(fill.cells)) {
          const item = instance.items[t.item]!
          amounts.set(
            t.item,
            (amounts.get(t.item) ?? 0) + (item.split || item.loose ? t.cutUm / item.cutUm : 1) * t.count,
          )
        }
        lp.addColumn(
          0,
          0,
          1,
          [rows[s]!, ...[...amounts.keys()].map((i) => itemRows[i]!)],
          [1, ...amounts.values()],
        )
        added++
      }
      bound = Math.max(bound, Math.floor(now))
      if (added === 0) break
    }
    return bound
  } finally {
    lp.dispose()
  }
}

function offeredOf(items: Item[], prices: number[], lengthUm: LengthUm): Offered[] {
  const offered: Offered[] = []
  for (const item of items) {
    const profit = prices[item.index]!
    const cutUm = item.shortest?.cutUm ?? barestCutUm(item)
    if (profit <= 0) continue
    const base = { item: item.index, option: 0, group: 0 }
    if (item.loose) {
      offered.push({ ...base, ...looseOffer(item, profit, lengthUm) })
    } else if (item.split) {
      const mostUm = Math.min(lengthUm, item.cutUm)
      const lossPerUm = profit / item.declaredUm
      // a part is reckoned without its trim and guard, so that it earns no less than it could
      offered.push({
        ...base,
        cap: item.split.maxParts,
        cutUm: mostUm,
        profit: Math.ceil(mostUm * lossPerUm) + 1,
        shrink: { leastCutUm: Math.min(item.split.minUm, mostUm), lossPerUm },
      })
    } else if (cutUm <= lengthUm) offered.push({ ...base, cap: item.demand, cutUm, profit, shrink: null })
  }
  return offered
}
