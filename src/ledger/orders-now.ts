import type { OpenPieces, OrderLine } from '../order/order-line.ts'
import { catalogOf, orderKey } from '../plan/catalog.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { neededUm, SLACK_UM, sharePct } from '../plan/tally.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { PieceRow } from './state-rows.ts'

/** Number under which the rest of a piece in parts stands as an order line of its own: this times its line, and its piece. */
const REST_LINE = 1_000_000

/** What is made of one piece of an order line. */
interface Made {
  declaredUm: LengthUm
  parts: number
}

/**
 * The order lines as far as they are open: less what is made for them and neither spoiled nor returned. A piece in one length
 * counts where its declared length reaches what was ordered less the minus tolerance, a piece in parts when its parts add up
 * to that; what a begun piece in parts still lacks is an order line of its own. A line that is wholly made is left out.
 */
export function ordersNow(works: PlanInput, pieces: Iterable<PieceRow>): OrderLine[] {
  const byLine = new Map<string, PieceRow[]>()
  for (const piece of pieces) {
    if (piece.order === null || piece.orderLine === null || !counts(piece)) continue
    const key = orderKey(piece.order, piece.orderLine)
    const known = byLine.get(key)
    if (known) known.push(piece)
    else byLine.set(key, [piece])
  }
  if (byLine.size === 0) return works.orders
  const lots = lotsBegun(works.orders, byLine)
  const catalog = catalogOf({ ...works, drums: [], marks: [], faults: [] })
  return works.orders.flatMap((order) => {
    const lot = order.sameLotGroup === null ? null : (lots.get(order.sameLotGroup) ?? null)
    const own = byLine.get(orderKey(order.order, order.line)) ?? []
    if (own.length === 0 && lot === null) return [order]
    return openLines(order, neededUm(catalog, order), own, lot)
  })
}

/** Spoiled and returned pieces serve nobody; leads stand for the bench length that they were made from. */
function counts({ where }: PieceRow): boolean {
  return where === 'hall' || where === 'shelf' || where === 'shipped'
}

function openLines(
  order: OrderLine,
  neededLengthUm: LengthUm,
  own: PieceRow[],
  lot: string | null,
): OrderLine[] {
  const leastUm = leastOf(order, neededLengthUm)
  const made = madePieces(order, leastUm, own)
  const numbers = Array.from({ length: order.qty }, (_, n) => n + 1)
  const untouched = numbers.filter((n) => !made.has(n))
  const shared = { qty: order.open?.qty ?? order.qty, lot }
  const lines: OrderLine[] = []
  if (untouched.length > 0)
    lines.push({
      ...order,
      qty: untouched.length,
      priceEur: (order.priceEur * untouched.length) / order.qty,
      open: { ...shared, pieces: untouched, restOf: null },
    })
  for (const [piece, { declaredUm, parts }] of made)
    if (declaredUm < leastUm - SLACK_UM)
      lines.push(restLine(order, piece, declaredUm, leastUm, parts, shared))
  return lines
}

function leastOf(order: OrderLine, neededLengthUm: LengthUm): LengthUm {
  return order.kind === 'lead' ? 0 : neededLengthUm - sharePct(neededLengthUm, order.tolMinusPct)
}

/**
 * What is made, by number of the piece. Two stations, or a tablet that was offline, may have given one number twice: pieces of
 * a line are alike, so the second takes the next number that is free. A piece in one length that is too short serves nothing.
 */
function madePieces(order: OrderLine, leastUm: LengthUm, own: PieceRow[]): Map<number, Made> {
  const made = new Map<number, Made>()
  const homeless: PieceRow[] = []
  for (const row of own) {
    const inParts = order.kind === 'bulk' && !order.singleLength
    const declaredUm = row.declaredUm ?? (order.kind === 'lead' ? leastUm : 0)
    if (!inParts && declaredUm < leastUm - SLACK_UM) continue
    for (let n = 0; n < Math.max(1, row.count); n++) {
      const piece = (row.piece ?? 0) + n
      const known = made.get(piece)
      const fits = piece >= 1 && piece <= order.qty && row.piece !== null
      if (fits && inParts)
        made.set(piece, { declaredUm: (known?.declaredUm ?? 0) + declaredUm, parts: (known?.parts ?? 0) + 1 })
      else if (fits && !known) made.set(piece, { declaredUm, parts: 1 })
      else homeless.push(row)
    }
  }
  let free = 1
  for (const row of homeless) {
    while (made.has(free)) free++
    if (free <= order.qty) made.set(free, { declaredUm: row.declaredUm ?? leastUm, parts: 1 })
  }
  return made
}

/** The same rule as for a piece that a plan has begun: plan/repair-demand.ts. */
function restLine(
  order: OrderLine,
  piece: number,
  madeUm: LengthUm,
  leastUm: LengthUm,
  parts: number,
  shared: Pick<OpenPieces, 'qty' | 'lot'>,
): OrderLine {
  const lengthUm = order.lengthUm - madeUm
  const mostUm = lengthUm + sharePct(order.lengthUm, order.tolPlusPct)
  return {
    ...order,
    line: REST_LINE * order.line + piece,
    qty: 1,
    lengthUm,
    tolMinusPct: (100 * (order.lengthUm - leastUm)) / lengthUm,
    tolPlusPct: (100 * (mostUm - lengthUm)) / lengthUm,
    minPieceUm: order.minPieceUm === null ? null : Math.min(order.minPieceUm, lengthUm),
    maxParts: Math.max(1, (order.maxParts ?? 1) - parts),
    priceEur: order.priceEur / order.qty,
    note: `rest of piece ${piece} of ${order.order}/${order.line}`,
    open: { ...shared, pieces: [piece], restOf: { line: order.line, parts } },
  }
}

/** Lot of each same-lot group that was begun. */
function lotsBegun(orders: OrderLine[], byLine: Map<string, PieceRow[]>): Map<string, string> {
  const lots = new Map<string, string>()
  for (const { order, line, sameLotGroup } of orders) {
    const lot = sameLotGroup === null ? undefined : byLine.get(orderKey(order, line))?.[0]?.lot
    if (sameLotGroup !== null && lot !== undefined) lots.set(sameLotGroup, lot)
  }
  return lots
}
