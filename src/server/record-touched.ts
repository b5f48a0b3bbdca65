import type { BadStretch } from '../ledger/recall.ts'
import type { DrumRow, PieceRow } from '../ledger/state-rows.ts'

/** What is touched, before it is put into words. */
export interface Touched {
  because: string[]
  pieces: PieceRow[]
  /** Drums with the part of them that is touched; null: all that is left. */
  drums: { drum: DrumRow; bad: BadStretch | null }[]
}
