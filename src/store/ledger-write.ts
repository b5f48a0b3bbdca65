import type { LedgerEvent } from '../ledger/event.ts'
import type { StretchRow } from '../ledger/state-rows.ts'
import type { Store } from './dialect.ts'
import { inParts } from './in-parts.ts'
import type { PartialState } from './ledger-load.ts'
import {
  asideRow,
  checkRow,
  complaintRow,
  drumRow,
  faultRow,
  lotRow,
  movementRow,
  pieceEventRows,
  pieceRow,
  stretchRow,
  stripRow,
  toolsOf,
} from './ledger-rows.ts'
import type { LedgerEventRow } from './tables.ts'

export interface NewEvent {
  event: LedgerEvent
  row: LedgerEventRow
}

/** Writes what events made of a state: the events, the rows that changed, the movements and the head. */
export async function writeState(trx: Store, part: PartialState, events: readonly NewEvent[]): Promise<void> {
  const { state } = part
  const rows = events.map(({ row }) => row)
  await inParts(rows, (values) => trx.insertInto('ledger_event').values(values).execute())
  const histories = events.flatMap(({ event }) => pieceEventRows(event))
  await inParts(histories, (values) => trx.insertInto('piece_event').values(values).execute())
  for (const stretches of state.stretches.changed()) await writeStretches(trx, part, stretches)
  await writeStock(trx, part)
  await writePieces(trx, part)
  await writeRecords(trx, part)
  const movements = state.movements.map(movementRow)
  await inParts(movements, (values) => trx.insertInto('movement').values(values).execute())
  const { seq, hash, given, releasedPlan, releasedSeq } = state.head
  await trx
    .updateTable('ledger_head')
    .set({ seq, hash, given: JSON.stringify(given), released_plan: releasedPlan, released_seq: releasedSeq })
    .where('id', '=', 1)
    .execute()
}

/** A strip is cut into many stretches; a cut changes two of them. */
async function writeStretches(trx: Store, part: PartialState, stretches: StretchRow[]): Promise<void> {
  const strip = stretches[0]?.strip
  if (strip === undefined) return
  // a stretch is never changed but replaced, so what is the same row is as it is stored
  const stored = new Map(part.stored.get(strip)?.map((row) => [row.fromUm, row]))
  const fresh = stretches.filter((row) => stored.get(row.fromUm) !== row)
  const now = new Set(stretches.map((row) => row.fromUm))
  const gone = [...stored.keys()].filter((fromUm) => !now.has(fromUm))
  const rewritten = fresh.map((row) => row.fromUm).filter((fromUm) => stored.has(fromUm))
  await inParts([...gone, ...rewritten], (places) =>
    trx.deleteFrom('stretch').where('strip', '=', strip).where('from_um', 'in', places).execute(),
  )
  await inParts(fresh.map(stretchRow), (rows) => trx.insertInto('stretch').values(rows).execute())
}

async function writeStock(trx: Store, { state }: PartialState): Promise<void> {
  await inParts(state.strips.changed().map(stripRow), (rows) =>
    trx
      .insertInto('strip')
      .values(rows)
      .onConflict((conflict) =>
        conflict.column('strip').doUpdateSet((eb) => ({
          cable: eb.ref('excluded.cable'),
          lot: eb.ref('excluded.lot'),
          row: eb.ref('excluded.row'),
        })),
      )
      .execute(),
  )
  await inParts(state.drums.changed().map(drumRow), (rows) =>
    trx
      .insertInto('drum')
      .values(rows)
      .onConflict((conflict) =>
        conflict.column('drum').doUpdateSet((eb) => ({
          strip: eb.ref('excluded.strip'),
          from_um: eb.ref('excluded.from_um'),
          to_um: eb.ref('excluded.to_um'),
          mounted_on: eb.ref('excluded.mounted_on'),
          row: eb.ref('excluded.row'),
        })),
      )
      .execute(),
  )
  await inParts(state.faults.changed().map(faultRow), (rows) =>
    trx
      .insertInto('fault')
      .values(rows)
      .onConflict((conflict) =>
        conflict
          .column('fault')
          .doUpdateSet((eb) => ({ strip: eb.ref('excluded.strip'), row: eb.ref('excluded.row') })),
      )
      .execute(),
  )
}

async function writePieces(trx: Store, { state }: PartialState): Promise<void> {
  await inParts(state.pieces.changed(), async (pieces) => {
    const serials = pieces.map(({ serial }) => serial)
    await trx.deleteFrom('piece').where('serial', 'in', serials).execute()
    await trx.insertInto('piece').values(pieces.map(pieceRow)).execute()
    await trx.deleteFrom('piece_tool').where('serial', 'in', serials).execute()
    const tools = pieces.flatMap((piece) => toolsOf(piece).map((tool) => ({ tool, serial: piece.serial })))
    await inParts(tools, (rows) => trx.insertInto('piece_tool').values(rows).execute())
  })
}

async function writeRecords(trx: Store, { state }: PartialState): Promise<void> {
  await inParts(state.lots.changed().map(lotRow), (rows) =>
    trx
      .insertInto('lot_test')
      .values(rows)
      .onConflict((conflict) => conflict.column('lot').doUpdateSet((eb) => ({ row: eb.ref('excluded.row') })))
      .execute(),
  )
  await inParts(state.checks.changed().map(checkRow), (rows) =>
    trx.insertInto('check_record').values(rows).execute(),
  )
  await inParts(state.complaints.changed().map(complaintRow), (rows) =>
    trx
      .insertInto('complaint')
      .values(rows)
      .onConflict((conflict) =>
        conflict
          .column('complaint')
          .doUpdateSet((eb) => ({ verdict: eb.ref('excluded.verdict'), row: eb.ref('excluded.row') })),
      )
      .execute(),
  )
  await inParts(state.asides.changed().map(asideRow), (rows) =>
    trx
      .insertInto('aside')
      .values(rows)
      .onConflict((conflict) =>
        conflict
          .column('seq')
          .doUpdateSet((eb) => ({ settled: eb.ref('excluded.settled'), row: eb.ref('excluded.row') })),
      )
      .execute(),
  )
}
