import type { Interval, Mounting, PieceInterval } from '../strip/cut-plan.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { inStock, type LostPiece } from './repair-fixed.ts'
import { SLACK_UM, sharePct } from './tally.ts'

const CAUSE = 'the rest of the piece cannot be cut'

/** Parts that were cut of a piece whose other parts cannot be: no part of an order any more, but stock or scrap. */
export function withoutUnfinished(
  works: Catalog,
  mountings: Mounting[],
): { mountings: Mounting[]; lost: LostPiece[] } {
  const short = unfinishedPieces(works, mountings)
  const lost: LostPiece[] = []
  if (short.size === 0) return { mountings, lost }
  const settled = (mounting: Mounting, interval: Interval): Interval => {
    if (interval.use !== 'piece' || !short.has(nameOf(interval))) return interval
    lost.push({ drum: mounting.drum, piece: interval, cause: CAUSE })
    return inStock(works, works.drums.get(mounting.drum)!, mounting.line, interval, CAUSE, false)
  }
  return {
    mountings: mountings.map((m) => ({ ...m, intervals: m.intervals.map((i) => settled(m, i)) })),
    lost,
  }
}

function nameOf({ order, orderLine, piece }: PieceInterval): string {
  return `${orderKey(order, orderLine)} ${piece}`
}

function unfinishedPieces(works: Catalog, mountings: Mounting[]): Set<string> {
  const lengths = new Map<string, { key: string; sumUm: number }>()
  for (const { intervals } of mountings)
    for (const i of intervals) {
      if (i.use !== 'piece') continue
      const key = orderKey(i.order, i.orderLine)
      if (works.orders.get(key)?.singleLength !== false) continue
      const known = lengths.get(nameOf(i)) ?? { key, sumUm: 0 }
      lengths.set(nameOf(i), { key, sumUm: known.sumUm + i.declaredUm })
    }
  const short = new Set<string>()
  for (const [name, { key, sumUm }] of lengths) {
    const order = works.orders.get(key)!
    if (sumUm < order.lengthUm - sharePct(order.lengthUm, order.tolMinusPct) - SLACK_UM) short.add(name)
  }
  return short
}
