import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { LotTest } from '../ledger/lot-test.ts'
import type { LevelStanding } from '../ledger/minimum-levels.ts'
import type { ShelfMatches } from '../ledger/shelf-match.ts'
import type { ShelfPiece } from '../ledger/shelf-piece.ts'
import type { LotRow, PieceRow } from '../ledger/state-rows.ts'
import type { TailCut } from '../ledger/tails.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Drum } from '../strip/drum.ts'

/** What the stock screens ask and are answered. Paths beside each. */

/** GET /api/stock: what lies in store and on the shelf as of event `seq`; 0 before the ledger began. */
export interface StockAnswer {
  seq: number
  drums: Drum[]
  /** On a line or bench now, by drum. */
  mounted: Record<string, string>
  /** In the hall, on the shelf and back from customers; empty before the ledger began. */
  pieces: PieceRow[]
  /** Those of no customer; before the ledger began those of more/finished_pieces.csv. */
  shelf: ShelfPiece[]
  lots: LotRow[]
  /** Null: none recorded in more/minimum_levels.csv. */
  levels: LevelStanding[] | null
  /** Order lines that pieces of the shelf serve at best. */
  matches: ShelfMatches
  /** Order lines still open. */
  orders: OrderLine[]
  /** Latest stock counts, newest first; a drum as often as it was counted. */
  counted: CountedDrum[]
  /** Null: none recorded in more/lot_tests.csv. */
  lotTests: LotTest[] | null
  attenuation: AttenuationPoint[]
}

export interface CountedDrum {
  drum: string
  /** ISO 8601, UTC. */
  at: string
  foundUm: LengthUm
  bookUm: LengthUm
}

/** POST /api/stock/tails answers this: standard coils out of what the newest plan leaves over; stores nothing. */
export interface TailsAnswer {
  /** Null where nothing is proposed. */
  proposal: {
    /** For POST /api/stock/tails/take { token }. */
    token: string
    cuts: TailCut[]
    lines: OrderLine[]
    gainMicro: MicroEur
    handlingMicro: MicroEur
    costBeforeMicro: MicroEur
    costAfterMicro: MicroEur
  } | null
  /** Why nothing is proposed, in words. */
  why: string | null
}
