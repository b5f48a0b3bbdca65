import type { LengthUm } from '../quantity/length.ts'
import type { Mounting } from '../strip/cut-plan.ts'

/** Leads of one order line that a plan cuts from one place of one drum. */
export interface LeadBatch {
  order: string
  orderLine: number
  /** Number of the mounting, from 1, its drum, and the line or bench that cuts. */
  mounting: number
  drum: string
  cutBy: string
  fromUm: LengthUm
  toUm: LengthUm
  firstPiece: number
  pieces: number
  /** Cut length of one lead as planned. */
  cutUm: LengthUm
}

/** The leads of a plan in the order in which they are cut; bulk pieces have a put-up or a whole interval each and are passed over. */
export function leadBatches(
  mountings: Mounting[],
  isLead: (order: string, line: number) => boolean,
): LeadBatch[] {
  return mountings.flatMap(({ drum, line, intervals }, i) =>
    intervals.flatMap((interval) => {
      if (interval.use !== 'piece' || !isLead(interval.order, interval.orderLine)) return []
      const { order, orderLine, fromUm, toUm, piece, count, declaredUm } = interval
      return [
        {
          ...{ order, orderLine, mounting: i + 1, drum, cutBy: line, fromUm, toUm },
          ...{ firstPiece: piece, pieces: count, cutUm: declaredUm },
        },
      ]
    }),
  )
}
