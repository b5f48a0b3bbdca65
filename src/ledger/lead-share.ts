import type { LengthUm } from '../quantity/length.ts'
import type { PieceRow } from './state-rows.ts'

/**
 * The cable of so many leads of a bench length, whole µm, after the first `done` ones: shares that add up to the whole.
 */
export function shareUm(
  { measuredUm, count }: Pick<PieceRow, 'measuredUm' | 'count'>,
  done: number,
  leads: number,
): LengthUm {
  return Math.floor((measuredUm * (done + leads)) / count) - Math.floor((measuredUm * done) / count)
}

/** What of a piece is cable of its own: of a bench length what no lead was made of yet. */
export function ownUm(row: PieceRow): LengthUm {
  const done = row.leadsDone ?? 0
  return shareUm(row, done, row.count - done)
}
