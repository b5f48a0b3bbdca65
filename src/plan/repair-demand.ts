import type { OrderLine } from '../order/order-line.ts'
import type { PieceInterval } from '../strip/cut-plan.ts'
import { type Catalog, orderKey } from './catalog.ts'
import type { Item } from './item.ts'
import type { FixedMounting } from './repair-fixed.ts'
import { sharePct } from './tally.ts'

/** Order lines as far as they are still to be cut, and the numbers that their pieces have. */
export interface OpenDemand {
  orders: OrderLine[]
  /** By place in `orders`: numbers of the pieces that it asks for. */
  pieces: number[][]
  /** By place in `orders`: parts of its one piece that are cut already; 0 where it is no rest of a piece. */
  partsCut: number[]
}

/** Where the pieces of an item come from: an order line and the numbers that are left of it. */
export interface ItemPieces {
  key: string
  pieces: number[]
  partsCut: number
}

/** What is still to be cut of a cable once the fixed pieces are taken off. */
export function openDemand(catalog: Catalog, cable: string, fixed: FixedMounting[]): OpenDemand {
  const cut = cutPieces(fixed)
  const demand: OpenDemand = { orders: [], pieces: [], partsCut: [] }
  const add = (order: OrderLine, pieces: number[], partsCut: number) => {
    demand.orders.push(order)
    demand.pieces.push(pieces)
    demand.partsCut.push(partsCut)
  }
  for (const order of catalog.input.orders) {
    if (order.cable !== cable) continue
    const done = cut.get(orderKey(order.order, order.line)) ?? new Map<number, PieceInterval[]>()
    const open = Array.from({ length: order.qty }, (_, n) => n + 1).filter((n) => !done.has(n))
    if (open.length > 0)
      add({ ...order, qty: open.length, priceEur: (order.priceEur * open.length) / order.qty }, open, 0)
    for (const [piece, parts] of done) {
      const rest = restOfPiece(order, parts)
      if (rest) add(rest, [piece], parts.length)
    }
  }
  return demand
}

function cutPieces(fixed: FixedMounting[]): Map<string, Map<number, PieceInterval[]>> {
  const cut = new Map<string, Map<number, PieceInterval[]>>()
  for (const { intervals } of fixed)
    for (const interval of intervals) {
      if (interval.use !== 'piece') continue
      const key = orderKey(interval.order, interval.orderLine)
      const pieces = cut.get(key) ?? new Map<number, PieceInterval[]>()
      cut.set(key, pieces)
      for (let n = 0; n < interval.count; n++) {
        const parts = pieces.get(interval.piece + n) ?? []
        pieces.set(interval.piece + n, [...parts, interval])
      }
    }
  return cut
}

/** What a piece in parts still lacks, as an order line of one piece; null where it is complete. */
function restOfPiece(order: OrderLine, parts: PieceInterval[]): OrderLine | null {
  if (order.singleLength) return null
  const cutUm = parts.reduce((sum, p) => sum + p.declaredUm, 0)
  const leastUm = order.lengthUm - sharePct(order.lengthUm, order.tolMinusPct) - cutUm
  if (leastUm <= 0) return null
  const lengthUm = order.lengthUm - cutUm
  const mostUm = lengthUm + sharePct(order.lengthUm, order.tolPlusPct)
  return {
    ...order,
    qty: 1,
    lengthUm,
    tolMinusPct: (100 * (lengthUm - leastUm)) / lengthUm,
    tolPlusPct: (100 * (mostUm - lengthUm)) / lengthUm,
    maxParts: Math.max(1, (order.maxParts ?? 1) - parts.length),
    priceEur: order.priceEur / order.qty,
  }
}

/**
 * The piece numbers behind each item. An item of pieces in parts stands for one piece of one order line, in the order in which
 * the lines ask for them; any other item holds all that is left of its lines.
 */
export function itemPieces(items: Item[], demand: OpenDemand): Map<number, ItemPieces[]> {
  const of = new Map<number, ItemPieces[]>()
  const splits = new Map<string, Item[]>()
  const entriesOf = new Map<string, number[]>()
  for (const [i, order] of demand.orders.entries()) {
    const key = orderKey(order.order, order.line)
    entriesOf.set(key, [...(entriesOf.get(key) ?? []), i])
  }
  for (const item of items)
    if (item.split) {
      const key = keyOf(item.lines[0]!.order)
      splits.set(key, [...(splits.get(key) ?? []), item])
    } else
      of.set(
        item.index,
        item.lines.flatMap((l) => {
          const key = keyOf(l.order)
          const entry = entriesOf.get(key)!.find((i) => demand.partsCut[i] === 0)!
          return [{ key, pieces: demand.pieces[entry]!, partsCut: 0 }]
        }),
      )
  for (const [key, ofKey] of splits) {
    const single = entriesOf
      .get(key)!
      .flatMap((i) => demand.pieces[i]!.map((piece) => ({ piece, partsCut: demand.partsCut[i]! })))
    // a line of very many pieces stands as one item, which is no split one, so the rest of a piece may be all that is split
    const asked = single.length === ofKey.length ? single : single.filter((s) => s.partsCut > 0)
    for (const [n, item] of ofKey.entries())
      of.set(item.index, [{ key, pieces: [asked[n]!.piece], partsCut: asked[n]!.partsCut }])
  }
  return of
}

function keyOf(order: OrderLine): string {
  return orderKey(order.order, order.line)
}
