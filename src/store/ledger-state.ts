import type { LedgerEvent } from '../ledger/event.ts'
import { LedgerState } from '../ledger/state.ts'
import type { AsideRow, DrumRow, HeadRow, LotRow, PieceRow } from '../ledger/state-rows.ts'
import type { Store } from './dialect.ts'
import { readInParts } from './in-parts.ts'
import { loadJson, loadStrips } from './ledger-load.ts'
import { eventOf, headOf } from './ledger-rows.ts'

/** Events that are read at one time. */
export const MAX_EVENTS_READ = 1_000

export async function ledgerHead(db: Store): Promise<HeadRow & { works: string | null }> {
  const row = await db.selectFrom('ledger_head').selectAll().where('id', '=', 1).executeTakeFirstOrThrow()
  return { ...headOf(row), works: row.works }
}

/** Events after `after`, in order, at most `limit` (and MAX_EVENTS_READ) of them. */
export async function eventsAfter(db: Store, after: number, limit = MAX_EVENTS_READ): Promise<LedgerEvent[]> {
  const rows = await db
    .selectFrom('ledger_event')
    .selectAll()
    .where('seq', '>', after)
    .orderBy('seq')
    .limit(Math.min(limit, MAX_EVENTS_READ))
    .execute()
  return rows.map(eventOf)
}

/**
 * What is still in the hall: every drum that is not empty or is mounted, with its strip, that strip's stretches and faults;
 * the pieces in hall and on shelf; tests of their lots; what waits for a person; and the head.
 */
export async function openState(db: Store): Promise<LedgerState> {
  return db.transaction().execute(async (trx) => {
    const state = new LedgerState()
    state.head = await ledgerHead(trx)
    const drums = await trx
      .selectFrom('drum')
      .select(['strip', 'row'])
      .where((eb) => eb.or([eb('to_um', '>', eb.ref('from_um')), eb('mounted_on', 'is not', null)]))
      .execute()
    loadJson<DrumRow>(drums, (row) => state.drums.load(row.drum, row))
    const strips = new Set(drums.map(({ strip }) => strip))
    const lots = new Set<string>()
    await loadStrips(trx, state, { strips, lots })
    const pieces = await trx
      .selectFrom('piece')
      .select('row')
      .where('where_is', 'in', ['hall', 'shelf', 'returned'])
      .execute()
    loadJson<PieceRow>(pieces, (row) => {
      state.pieces.load(row.serial, row)
      lots.add(row.lot)
    })
    loadJson<LotRow>(
      await readInParts(lots, (ids) =>
        trx.selectFrom('lot_test').select('row').where('lot', 'in', ids).execute(),
      ),
      (row) => state.lots.load(row.lot, row),
    )
    loadJson<AsideRow>(
      await trx.selectFrom('aside').select('row').where('settled', '=', 0).execute(),
      (row) => state.asides.load(String(row.seq), row),
    )
    return state
  })
}
