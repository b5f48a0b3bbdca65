import type { LedgerEvent } from '../ledger/event.ts'
import type { AsideRow, PieceRow } from '../ledger/state-rows.ts'
import type { Store } from './dialect.ts'
import { readInParts } from './in-parts.ts'
import { eventRowsOf } from './ledger-append.ts'
import { eventOf, jsonRows } from './ledger-rows.ts'

/** Every piece that was made for these orders, wherever it is now. */
export async function piecesOfOrders(db: Store, orders: ReadonlySet<string>): Promise<PieceRow[]> {
  const rows = await readInParts(orders, (ids) =>
    db.selectFrom('piece').select('row').where('order_id', 'in', ids).execute(),
  )
  return jsonRows(rows)
}

/** The events that were booked under these keys, by key. */
export async function eventsByKey(db: Store, keys: ReadonlySet<string>): Promise<Map<string, LedgerEvent>> {
  return new Map((await eventRowsOf(db, keys)).map((row) => [row.key, eventOf(row)]))
}

/** Records that wait for a person, oldest first, at most `limit`. */
export async function openAsides(db: Store, limit: number): Promise<AsideRow[]> {
  const rows = await db
    .selectFrom('aside')
    .select('row')
    .where('settled', '=', 0)
    .orderBy('seq')
    .limit(limit)
    .execute()
  return jsonRows(rows)
}
