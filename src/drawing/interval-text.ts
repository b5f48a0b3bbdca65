import { lengthText } from '../quantity/length-text.ts'
import type { Interval, PieceInterval } from '../strip/cut-plan.ts'
import { marksText } from '../strip/mark-text.ts'
import type { UsableDrum } from '../strip/usable.ts'

/** In which unit an order counts, so that its pieces are spoken of as the customer does. */
export type OrderUnit = (order: string, orderLine: number) => 'm' | 'ft'

/** "328 ft" as the order counts, or "50 × 0.135 m" for a bench length of leads, whose cut length is a matter of the bench. */
export function pieceLengthText(piece: PieceInterval, unitOf: OrderUnit): string {
  if (piece.putup === null) {
    const cutLength = lengthText(piece.declaredUm, 'm', 4)
    return piece.count === 1 ? cutLength : `${piece.count} × ${cutLength}`
  }
  return lengthText(piece.declaredUm, unitOf(piece.order, piece.orderLine), 3)
}

export function orderText(piece: Pick<PieceInterval, 'order' | 'orderLine'>): string {
  return `${piece.order}/${piece.orderLine}`
}

/** What one interval is and where it lies by the marks: "cut 3: 100 m for order 7116/1, from mark 1204 to 1104 m". */
export function intervalText(
  interval: Interval,
  index: number,
  usable: UsableDrum,
  unitOf: OrderUnit,
): string {
  const length = lengthText(interval.toUm - interval.fromUm, 'm', 2)
  const marks = marksText(usable, interval.fromUm, interval.toUm)
  const cut = `cut ${index + 1}`
  switch (interval.use) {
    case 'piece': {
      const part = interval.part > 1 ? `, part ${interval.part}` : ''
      return `${cut}: ${pieceLengthText(interval, unitOf)} for order ${orderText(interval)}${part}, ${marks}`
    }
    case 'remnant':
      return interval.putup === null
        ? `rest: ${length} stays on the drum, ${marks}`
        : `${cut}: ${length} wound off onto ${interval.putup} as a remnant, ${marks}`
    case 'scrap':
      return `${cut}: ${length} scrap, ${interval.cause}, ${marks}`
    case 'end':
      return `${cut}: ${length} end, ${marks}`
  }
}
