import type { LengthUm } from '../quantity/length.ts'

/** A finished piece of no customer that lay on the shelf before the ledger began. A row of more/finished_pieces.csv; null where the cell is empty. */
export interface FinishedPiece {
  /** Number on its label; unique. */
  serial: string
  cable: string
  lot: string
  putup: string
  /** Declared length as typed, in `unit`, and in whole micrometres. */
  lengthTyped: string
  unit: 'm' | 'ft'
  declaredUm: LengthUm
  /** True length, where it was measured. */
  measuredUm: LengthUm | null
  madeDate: string
  place: string | null
}
