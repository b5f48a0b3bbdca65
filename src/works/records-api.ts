import type { Balance } from '../ledger/balance.ts'
import type { BookBalance } from '../ledger/book-balance.ts'
import type { ShortChance } from '../ledger/complaint-chance.ts'
import type { DueItem } from '../ledger/due.ts'
import type { Recall } from '../ledger/recall.ts'
import type { ComplaintRow, DrumRow, LotRow, PieceRow, StretchRow, StripRow } from '../ledger/state-rows.ts'
import type { Trace } from '../ledger/trace.ts'
import type { UnexplainedFinding } from '../ledger/unexplained.ts'
import type { MonthYield } from '../ledger/yield.ts'

/** What the records ask and are answered. Paths beside each. */

/** GET /api/records/follow?id=: whatever the id names. */
export type FollowAnswer =
  | { kind: 'piece'; trace: Trace; short: ShortChance | null }
  | { kind: 'strip'; strip: StripRow; drums: DrumRow[]; stretches: StretchRow[]; lot: LotRow | null }
  | { kind: 'lot'; lot: string; test: LotRow | null; strips: StripRow[]; recall: Recall }
  | { kind: 'unknown'; id: string }

/** Query of GET /api/records/recall (and recall.csv): exactly one of strip, lot, check, tool, fault. */
export interface RecallQuery {
  strip?: string | undefined
  /** Metres on the strip, or marks as printed. */
  from?: number | undefined
  to?: number | undefined
  unit?: 'm' | 'mark' | undefined
  /** How far either end may be off, m; of marks 0.3 m where nothing is said. */
  unc?: number | undefined
  lot?: string | undefined
  check?: string | undefined
  tool?: string | undefined
  fault?: string | undefined
  /** Only what was made since, YYYY-MM-DD or ISO 8601; of a tool. */
  since?: string | undefined
}

/** GET /api/records/recall. */
export interface RecallAnswer {
  /** The answer in a sentence. */
  says: string
  recall: Recall
}

/** GET /api/records/balance?month=YYYY-MM, or ?from=&to=. */
export interface BalanceAnswer {
  from: string
  to: string
  /** Months that can be asked for, newest first: the ledger's and, before it, those of the books. */
  months: string[]
  /** The works' day on which the ledger began; null where there is none. */
  ledgerSince: string | null
  balances: Balance[]
  /** What month_ledger.csv says of the same month, where the ledger had not begun. */
  books: BookBalance[]
  unexplained: UnexplainedFinding
}

/** GET /api/records/yield. */
export interface YieldAnswer {
  months: MonthYield[]
  currency: string
}

/** GET /api/records/due. */
export interface DueAnswer {
  today: string
  items: DueItem[]
}

/** GET /api/records/complaints. */
export interface ComplaintsAnswer {
  complaints: (ComplaintRow & { cable: string; declaredText: string; where: PieceRow['where'] })[]
}
