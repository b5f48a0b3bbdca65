import { groupBy } from '../quantity/group-by.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Fault } from '../strip/fault.ts'
import type { FaultRow, LotRow, PieceRow } from './state-rows.ts'

/** Number of the works' own order: what is cut for the shelf to keep a minimum level. */
export const STOCK_ORDER = 'STOCK'

/** A finished piece that belongs to no customer yet. */
export interface ShelfPiece {
  serial: string
  cable: string
  lot: string
  declaredUm: LengthUm
  putup: string | null
  /** Still in the hall, not yet put on the shelf. */
  inHall: boolean
  place: string | null
  /** ISO 8601: when it was made. */
  since: string
  /** Faults that lie in it, or may, by their uncertainty. */
  faults: Pick<Fault, 'fault' | 'code' | 'severity'>[]
}

/** Whether a piece is the works' own: finished, here, sound, and of no customer. Leads are made to order. */
export function isUnsold(piece: PieceRow): boolean {
  return (
    (piece.where === 'shelf' || piece.where === 'hall') &&
    (piece.order === null || piece.order === STOCK_ORDER) &&
    piece.declaredUm !== null &&
    piece.parent === null &&
    piece.passed !== false
  )
}

/** The unsold pieces among these, without those of a lot that failed its tests; oldest first. */
export function shelfPieces(
  pieces: Iterable<PieceRow>,
  faults: readonly FaultRow[],
  lots: readonly LotRow[],
): ShelfPiece[] {
  const failed = new Set(lots.filter((l) => !l.passed).map((l) => l.lot))
  const byStrip = groupBy(
    faults.filter((f) => !f.withdrawn),
    (f) => f.strip,
  )
  const found: ShelfPiece[] = []
  for (const piece of pieces) {
    if (!isUnsold(piece) || failed.has(piece.lot)) continue
    const { serial, cable, lot, putup, place, at } = piece
    const inside = (byStrip.get(piece.strip) ?? []).filter(
      (f) => f.fromUm - f.uncUm < piece.toUm && f.toUm + f.uncUm > piece.fromUm,
    )
    found.push({
      ...{ serial, cable, lot, putup, place, since: at, declaredUm: piece.declaredUm as LengthUm },
      inHall: piece.where === 'hall',
      faults: inside.map(({ fault, code, severity }) => ({ fault, code, severity })),
    })
  }
  return found.sort((a, b) => (a.since < b.since ? -1 : a.since > b.since ? 1 : a.serial < b.serial ? -1 : 1))
}
