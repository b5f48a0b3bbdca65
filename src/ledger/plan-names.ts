import type { OrderLine } from '../order/order-line.ts'
import { orderKey } from '../plan/catalog.ts'
import type { PieceInterval } from '../strip/cut-plan.ts'

/** A piece as the order counts it, whatever is open of it. */
export interface OrderedPiece {
  order: string
  orderLine: number
  piece: number
  part: number
}

/** The number that a planned piece has within its order line as it was ordered. */
export function orderedPiece(interval: PieceInterval, line: OrderLine | undefined): OrderedPiece {
  const { order, orderLine, piece, part } = interval
  const open = line?.open
  return {
    order,
    orderLine: open?.restOf?.line ?? orderLine,
    piece: open?.pieces[piece - 1] ?? piece,
    part: part + (open?.restOf?.parts ?? 0),
  }
}

/** What of an order line as it was ordered is open now. */
interface OpenLine {
  whole: OrderLine | null
  /** By number of the piece. */
  rests: Map<number, OrderLine>
}

/**
 * Gives planned pieces the numbers that the open order lines of now have. Where nothing was made of a line since, it keeps
 * its numbers; else its pieces, which are alike, are counted anew in the order of cutting. Pieces in parts keep the piece
 * that they are parts of. What is no longer wanted has no name.
 */
export class PieceNames {
  readonly #then: ReadonlyMap<string, OrderLine>
  readonly #now = new Map<string, OpenLine>()
  readonly #given = new Map<string, number>()

  constructor(then: ReadonlyMap<string, OrderLine>, now: readonly OrderLine[]) {
    this.#then = then
    for (const line of now) {
      const rest = line.open?.restOf
      const key = orderKey(line.order, rest?.line ?? line.line)
      const known = this.#now.get(key) ?? { whole: null, rests: new Map() }
      this.#now.set(key, known)
      if (rest) known.rests.set(line.open!.pieces[0]!, line)
      else known.whole = line
    }
  }

  now(interval: PieceInterval): PieceInterval | null {
    const then = this.#then.get(orderKey(interval.order, interval.orderLine))
    const ordered = orderedPiece(interval, then)
    const open = this.#now.get(orderKey(ordered.order, ordered.orderLine))
    if (!open) return null
    if (!(then?.singleLength ?? true)) return this.#partNow(interval, ordered, open)
    const { whole } = open
    if (!whole) return null
    if (isAsOpen(then, whole)) return interval
    const key = orderKey(whole.order, whole.line)
    const piece = (this.#given.get(key) ?? 0) + 1
    if (piece > whole.qty) return null
    const count = Math.min(interval.count, whole.qty - piece + 1)
    this.#given.set(key, piece + count - 1)
    return count === interval.count ? { ...interval, piece } : null
  }

  #partNow(interval: PieceInterval, ordered: OrderedPiece, open: OpenLine): PieceInterval | null {
    const rest = open.rests.get(ordered.piece)
    if (rest) {
      const part = ordered.part - (rest.open?.restOf?.parts ?? 0)
      return part < 1 ? null : { ...interval, orderLine: rest.line, piece: 1, part }
    }
    const whole = open.whole
    if (!whole) return null
    const piece = whole.open ? whole.open.pieces.indexOf(ordered.piece) + 1 : ordered.piece
    return piece < 1 ? null : { ...interval, orderLine: whole.line, piece, part: ordered.part }
  }
}

/** Whether the same pieces are open as then. */
function isAsOpen(then: OrderLine | undefined, now: OrderLine): boolean {
  if (then?.qty !== now.qty) return false
  const number = (line: OrderLine, at: number) => line.open?.pieces[at] ?? at + 1
  for (let at = 0; at < now.qty; at++) if (number(then, at) !== number(now, at)) return false
  return true
}
