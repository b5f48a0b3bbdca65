import type { OrderLine } from '../order/order-line.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type ShelfPiece, STOCK_ORDER } from './shelf-piece.ts'

/** How many pieces of one kind the works wants on its shelf. A row of more/minimum_levels.csv. */
export interface MinimumLevel {
  cable: string
  putup: string
  /** Declared length of a piece exactly as typed, in `unit`, and in whole micrometres. */
  lengthTyped: string
  unit: 'm' | 'ft'
  lengthUm: LengthUm
  /** Pieces. */
  least: number
}

export interface LevelStanding {
  level: MinimumLevel
  /** Unsold pieces that are here. */
  have: number
  /** Ordered for the shelf and not cut yet. */
  coming: number
  /** Pieces that lack even then. */
  short: number
}

/** How the shelf stands against its levels: pieces count that are declared exactly so long, on that put-up. In the order of the levels. */
export function levelStandings(
  levels: readonly MinimumLevel[],
  pieces: readonly ShelfPiece[],
  orders: readonly OrderLine[],
): LevelStanding[] {
  return levels.map((level) => {
    const alike = (x: { cable: string; putup: string | null }) =>
      x.cable === level.cable && x.putup === level.putup
    const have = pieces.filter((p) => alike(p) && p.declaredUm === level.lengthUm).length
    const coming = orders
      .filter((o) => o.order === STOCK_ORDER && alike(o) && o.lengthUm === level.lengthUm)
      .reduce((n, o) => n + o.qty, 0)
    return { level, have, coming, short: Math.max(0, level.least - have - coming) }
  })
}
