import type { Plan } from '../plan/plan.ts'
import type { PieceInterval } from '../strip/cut-plan.ts'

/** A piece of the plan under the number it keeps: each lead of a bench length has its own. */
export interface NumberedPiece {
  mounting: number
  interval: number
  piece: PieceInterval
  /** Number of the piece, part or lead within its order line, from 1. */
  pieceNumber: number
  /** How many parts its piece comes in. */
  parts: number
  /** 1, 2, ... through the whole plan in the order of cutting. */
  sequence: number
}

/** All pieces of a plan in the order in which they are cut. */
export function numberedPieces(plan: Pick<Plan, 'mountings'>): NumberedPiece[] {
  const parts = new Map<string, number>()
  const keyOf = (p: PieceInterval) => `${p.order} ${p.orderLine} ${p.piece}`
  for (const mounting of plan.mountings)
    for (const i of mounting.intervals)
      if (i.use === 'piece') parts.set(keyOf(i), (parts.get(keyOf(i)) ?? 0) + 1)
  const numbered: NumberedPiece[] = []
  plan.mountings.forEach(({ intervals }, mounting) => {
    intervals.forEach((piece, interval) => {
      if (piece.use !== 'piece') return
      for (let k = 0; k < piece.count; k++)
        numbered.push({
          mounting,
          interval,
          piece,
          pieceNumber: piece.piece + k,
          parts: parts.get(keyOf(piece)) ?? 1,
          sequence: numbered.length + 1,
        })
    })
  })
  return numbered
}

/** "P0012-0037": the piece's name on label, sheet and in the record, until it is measured and gets its serial. */
export function pieceId(planNumber: string, sequence: number): string {
  return `${planNumber}-${fourDigits(sequence)}`
}

/** "P0012-B0040": a bench length, by the first lead that is cut from it. */
export function benchLengthId(planNumber: string, firstSequence: number): string {
  return `${planNumber}-B${fourDigits(firstSequence)}`
}

export function fourDigits(sequence: number): string {
  return String(sequence).padStart(4, '0')
}
