import { sql } from 'kysely'
import type { CheckKind } from '../ledger/check-kind.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import type {
  CheckRow,
  ComplaintRow,
  DrumRow,
  FaultRow,
  LotRow,
  MovementRow,
  PieceRow,
  StretchRow,
  StripRow,
} from '../ledger/state-rows.ts'
import type { Store } from './dialect.ts'
import { readInParts } from './in-parts.ts'
import { eventOf, jsonRows, stretchOf } from './ledger-rows.ts'

/** What the records are asked for. Every answer is bounded: by a limit, or by what one strip, lot or piece can have. */

const MAX_EVENTS_OF_PIECE = 1_000
const MAX_CHECKS = 20_000
const MAX_COMPLAINTS = 2_000
const MAX_EVENTS_OF_KIND = 20_000

function only<Row>(found: { row: string }[]): Row | null {
  return jsonRows<Row>(found)[0] ?? null
}

export async function pieceOf(db: Store, serial: string): Promise<PieceRow | null> {
  return only(await db.selectFrom('piece').select('row').where('serial', '=', serial).execute())
}

export async function piecesOf(db: Store, serials: string[]): Promise<PieceRow[]> {
  return jsonRows(
    await readInParts(new Set(serials), (part) =>
      db.selectFrom('piece').select('row').where('serial', 'in', part).execute(),
    ),
  )
}

/** Pieces that share cable with an interval of a strip, or hold a point of it; along the coordinate. */
export async function piecesOnStrip(
  db: Store,
  strip: string,
  fromUm: number,
  toUm: number,
  limit: number,
): Promise<PieceRow[]> {
  const isPoint = fromUm === toUm
  return jsonRows(
    await db
      .selectFrom('piece')
      .select('row')
      .where('strip', '=', strip)
      .where('from_um', isPoint ? '<=' : '<', toUm)
      .where('to_um', isPoint ? '>=' : '>', fromUm)
      .orderBy('from_um')
      .orderBy('serial')
      .limit(limit)
      .execute(),
  )
}

export async function piecesOfLot(db: Store, lot: string, limit: number): Promise<PieceRow[]> {
  return jsonRows(await db.selectFrom('piece').select('row').where('lot', '=', lot).limit(limit).execute())
}

/** Instants as ISO 8601; `since` and `until` belong to the window, null: open. */
export interface TimeWindow {
  since: string | null
  until: string | null
}

export async function piecesOnLine(
  db: Store,
  line: string,
  { since, until }: TimeWindow,
  limit: number,
): Promise<PieceRow[]> {
  let query = db.selectFrom('piece').select('row').where('line', '=', line)
  if (since !== null) query = query.where('at', '>=', since)
  if (until !== null) query = query.where('at', '<=', until)
  return jsonRows(await query.limit(limit).execute())
}

/** Pieces that met a tool or an instrument. */
export async function piecesOfTool(
  db: Store,
  tool: string,
  { since, until }: TimeWindow,
  limit: number,
): Promise<PieceRow[]> {
  let query = db
    .selectFrom('piece_tool')
    .innerJoin('piece', 'piece.serial', 'piece_tool.serial')
    .select('piece.row')
    .where('piece_tool.tool', '=', tool)
  if (since !== null) query = query.where('piece.at', '>=', since)
  if (until !== null) query = query.where('piece.at', '<=', until)
  return jsonRows(await query.limit(limit).execute())
}

/** What was made of the piece that lies in this interval. */
export async function leadsOf(db: Store, parent: string): Promise<PieceRow[]> {
  return jsonRows(
    await db.selectFrom('piece').select('row').where('parent', '=', parent).orderBy('serial').execute(),
  )
}

export async function stripRow(db: Store, strip: string): Promise<StripRow | null> {
  return only(await db.selectFrom('strip').select('row').where('strip', '=', strip).execute())
}

export async function stripsOfLot(db: Store, lot: string): Promise<StripRow[]> {
  return jsonRows(
    await db.selectFrom('strip').select('row').where('lot', '=', lot).orderBy('strip').execute(),
  )
}

export async function drumOf(db: Store, drum: string): Promise<DrumRow | null> {
  return only(await db.selectFrom('drum').select('row').where('drum', '=', drum).execute())
}

export async function drumsOf(db: Store, drums: string[]): Promise<DrumRow[]> {
  return jsonRows(
    await readInParts(new Set(drums), (ids) =>
      db.selectFrom('drum').select('row').where('drum', 'in', ids).execute(),
    ),
  )
}

export async function drumsOnStrips(db: Store, strips: string[]): Promise<DrumRow[]> {
  return jsonRows(
    await readInParts(new Set(strips), (ids) =>
      db.selectFrom('drum').select('row').where('strip', 'in', ids).orderBy('drum').execute(),
    ),
  )
}

export async function faultOf(db: Store, fault: string): Promise<FaultRow | null> {
  return only(await db.selectFrom('fault').select('row').where('fault', '=', fault).execute())
}

export async function faultsOnStrip(db: Store, strip: string): Promise<FaultRow[]> {
  return jsonRows(await db.selectFrom('fault').select('row').where('strip', '=', strip).execute())
}

export async function lotTest(db: Store, lot: string): Promise<LotRow | null> {
  return only(await db.selectFrom('lot_test').select('row').where('lot', '=', lot).execute())
}

export async function checkOf(db: Store, check: string): Promise<CheckRow | null> {
  return only(await db.selectFrom('check_record').select('row').where('check_id', '=', check).execute())
}

/** The newest checks, of one kind or all, oldest first. */
export async function checkRows(
  db: Store,
  what: CheckKind | readonly CheckKind[] | null,
  subject: string | null = null,
): Promise<CheckRow[]> {
  let query = db.selectFrom('check_record').select('row')
  if (what !== null) query = query.where('what', 'in', [what].flat())
  if (subject !== null) query = query.where('subject', '=', subject)
  return jsonRows<CheckRow>(
    await query.orderBy('at', 'desc').orderBy('check_id', 'desc').limit(MAX_CHECKS).execute(),
  ).reverse()
}

export async function complaintsOfPiece(db: Store, serial: string): Promise<ComplaintRow[]> {
  return jsonRows(
    await db
      .selectFrom('complaint')
      .select('row')
      .where('serial', '=', serial)
      .orderBy('complaint')
      .execute(),
  )
}

/** The newest complaints, newest first. */
export async function complaintRows(db: Store): Promise<ComplaintRow[]> {
  return jsonRows(
    await db
      .selectFrom('complaint')
      .select('row')
      .orderBy('complaint', 'desc')
      .limit(MAX_COMPLAINTS)
      .execute(),
  )
}

export async function eventsOfPiece(db: Store, serial: string): Promise<LedgerEvent[]> {
  const found = await db
    .selectFrom('piece_event')
    .innerJoin('ledger_event', 'ledger_event.seq', 'piece_event.seq')
    .selectAll('ledger_event')
    .where('piece_event.serial', '=', serial)
    .orderBy('piece_event.seq')
    .limit(MAX_EVENTS_OF_PIECE)
    .execute()
  return found.map(eventOf)
}

export async function eventsBySeq(db: Store, seqs: number[]): Promise<LedgerEvent[]> {
  const found = await readInParts(new Set(seqs), (part) =>
    db.selectFrom('ledger_event').selectAll().where('seq', 'in', part).execute(),
  )
  return found.map(eventOf)
}

/** The newest events of one kind in a window, oldest first. */
export async function eventsOfKind(
  db: Store,
  kind: LedgerEvent['body']['kind'],
  { since, until }: TimeWindow,
): Promise<LedgerEvent[]> {
  let query = db.selectFrom('ledger_event').selectAll().where('kind', '=', kind)
  if (since !== null) query = query.where('at', '>=', since)
  if (until !== null) query = query.where('at', '<=', until)
  return (await query.orderBy('seq', 'desc').limit(MAX_EVENTS_OF_KIND).execute()).map(eventOf).reverse()
}

/** What lies on a strip directly before and behind an interval. */
export async function stretchesBeside(
  db: Store,
  strip: string,
  fromUm: number,
  toUm: number,
): Promise<{ before: StretchRow | null; after: StretchRow | null }> {
  const on = db.selectFrom('stretch').selectAll().where('strip', '=', strip)
  const before = await on.where('from_um', '<', fromUm).orderBy('from_um', 'desc').limit(1).execute()
  const after = await on.where('from_um', '>=', toUm).orderBy('from_um').limit(1).execute()
  return { before: before[0] ? stretchOf(before[0]) : null, after: after[0] ? stretchOf(after[0]) : null }
}

export async function stretchesOn(db: Store, strip: string): Promise<StretchRow[]> {
  const found = await db
    .selectFrom('stretch')
    .selectAll()
    .where('strip', '=', strip)
    .orderBy('from_um')
    .execute()
  return found.map(stretchOf)
}

/** Seq of the newest event; 0 where there is no ledger. */
export async function newestSeq(db: Store): Promise<number> {
  const head = await db.selectFrom('ledger_head').select('seq').where('id', '=', 1).executeTakeFirst()
  return head?.seq ?? 0
}

/** Movements that are alike, added up by the date of their time as it was written. */
export interface DatedSum {
  date: string
  cable: string
  what: MovementRow['what']
  cause: string | null
  um: number
}

/** Sums of the movements of the events after `after` up to `upTo`. */
export async function movementSums(db: Store, after: number, upTo: number): Promise<DatedSum[]> {
  const found = await db
    .selectFrom('movement')
    .select([
      sql<string>`substr(at, 1, 10)`.as('date'),
      'cable',
      'what',
      // what was shipped has its order there: no cause
      sql<string | null>`case when what in ('received', 'scrap') then cause end`.as('cause'),
      sql<number | string>`sum(um)`.as('um'),
    ])
    .where('seq', '>', after)
    .where('seq', '<=', upTo)
    .groupBy(sql`1, cable, what, 4`)
    .execute()
  return found.map(({ date, cable, what, cause, um }) => ({
    ...{ date, cable, cause, um: Number(um) },
    what: what as MovementRow['what'],
  }))
}

/** What was found against the books, alike in strip, cause, line and hour, added up. */
export interface HourlyDifference {
  /** Of the last event of it. */
  seq: number
  /** Date and hour of its time as it was written, YYYY-MM-DDTHH. */
  hour: string
  strip: string
  cable: string
  what: 'book error' | 'counted'
  cause: string | null
  line: string | null
  um: number
  varUm2: number
}

/** Movements of the events after `after` up to `upTo` by which a cut, a measurement or a count differed from the books. */
export async function bookDifferences(db: Store, after: number, upTo: number): Promise<HourlyDifference[]> {
  const found = await db
    .selectFrom('movement')
    .select([
      sql<number | string>`max(seq)`.as('seq'),
      sql<string>`substr(at, 1, 13)`.as('hour'),
      ...(['strip', 'cable', 'what', 'cause', 'line'] as const),
      sql<number | string>`sum(um)`.as('um'),
      sql<number>`sum(unc_um * unc_um)`.as('variance'),
    ])
    .where('seq', '>', after)
    .where('seq', '<=', upTo)
    .where('what', 'in', ['book error', 'counted'])
    .where((eb) => eb.or([eb('cause', 'is', null), eb('cause', '!=', 'rounding')]))
    .groupBy(sql`2, strip, cable, what, cause, line`)
    .orderBy(sql`1`)
    .execute()
  return found.map(({ seq, um, variance, what, ...row }) => ({
    ...row,
    what: what as HourlyDifference['what'],
    ...{ seq: Number(seq), um: Number(um), varUm2: Number(variance) },
  }))
}

/** Metres that were cut into pieces, µm on the strip's coordinate, by strip and line. */
export async function cutFromStrips(
  db: Store,
  strips: string[],
): Promise<{ strip: string; line: string; um: number }[]> {
  const found = await readInParts(new Set(strips), (part) =>
    db
      .selectFrom('piece')
      .select(['strip', 'line', sql<number | string>`sum(to_um - from_um)`.as('um')])
      .where('strip', 'in', part)
      .where('parent', 'is', null)
      .groupBy(['strip', 'line'])
      .execute(),
  )
  return found.map(({ strip, line, um }) => ({ strip, line, um: Number(um) }))
}

export async function stripRows(db: Store, strips: string[]): Promise<StripRow[]> {
  return jsonRows(
    await readInParts(new Set(strips), (ids) =>
      db.selectFrom('strip').select('row').where('strip', 'in', ids).execute(),
    ),
  )
}

/** Contents of orders.csv by hash, each once, the newest version first. */
export async function orderBooks(db: Store, limit: number): Promise<string[]> {
  const found = await db
    .selectFrom('works_file')
    .select(['sha256', (eb) => eb.fn.max('version').as('version')])
    .where('file', '=', 'orders.csv')
    .groupBy('sha256')
    .orderBy('version', 'desc')
    .limit(limit)
    .execute()
  return found.map(({ sha256 }) => sha256)
}

export async function fileContent(db: Store, sha256: string): Promise<Uint8Array> {
  const found = await db
    .selectFrom('file_content')
    .select('bytes')
    .where('sha256', '=', sha256)
    .executeTakeFirst()
  return found?.bytes ?? new Uint8Array()
}
