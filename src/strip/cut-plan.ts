import type { LengthUm } from '../quantity/length.ts'

/**
 * A cut plan: an ordered list of mountings, each an ordered list of cuts from the outer end.
 * Positions count from the outer end of the drum as it stood when the plan was made.
 */
export type Interval = {
  fromUm: LengthUm
  toUm: LengthUm
} & IntervalUse

export type IntervalUse =
  | { use: 'end' }
  | { use: 'scrap'; cause: string }
  | {
      use: 'piece'
      order: string
      orderLine: number
      /** Number of the piece within its order line, from 1; of the first one where `count` is above 1. */
      piece: number
      /** Number of the part within the piece, from 1; 1 where the piece is one length. */
      part: number
      /** Leads only: how many lie in this one bench length. 1 for bulk. */
      count: number
      /** What will be declared to the customer; for leads the cut length of one lead. */
      declaredUm: LengthUm
      /** null for leads. */
      putup: string | null
    }
  /** With a put-up it is wound off; without, it stays on the drum and is the innermost. */
  | { use: 'remnant'; putup: string | null }

export type PieceInterval = Extract<Interval, { use: 'piece' }>

export interface Mounting {
  drum: string
  /** A rewinding line, or a bench place that can cut. */
  line: string
  intervals: Interval[]
}
