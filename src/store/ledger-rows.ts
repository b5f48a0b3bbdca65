import type { EventBody, LedgerEvent } from '../ledger/event.ts'
import { serialsIn } from '../ledger/serials-in.ts'
import type {
  AsideRow,
  CheckRow,
  ComplaintRow,
  DrumRow,
  FaultRow,
  HeadRow,
  LotRow,
  MovementRow,
  PieceRow,
  StretchRow,
  StripRow,
} from '../ledger/state-rows.ts'
import type { LedgerEventRow, Tables } from './tables.ts'

/** Rows of the ledger as the rooms above know them, made into table rows and back. */

export function eventOf(row: LedgerEventRow): LedgerEvent {
  return {
    seq: row.seq,
    key: row.key,
    at: row.at,
    bookedAt: row.booked_at,
    actor: row.actor,
    ...(row.sent_by === null ? {} : { sentBy: row.sent_by }),
    station: row.station,
    planId: row.plan_id,
    corrects: row.corrects,
    body: JSON.parse(row.body) as EventBody,
    previousHash: row.previous_hash,
    hash: row.hash,
  }
}

export function eventRow(event: LedgerEvent, commandHash: string): LedgerEventRow {
  return {
    seq: event.seq,
    key: event.key,
    at: event.at,
    booked_at: event.bookedAt,
    actor: event.actor,
    sent_by: event.sentBy ?? null,
    station: event.station,
    plan_id: event.planId,
    corrects: event.corrects,
    kind: event.body.kind,
    body: JSON.stringify(event.body),
    previous_hash: event.previousHash,
    hash: event.hash,
    command_hash: commandHash,
  }
}

/** Rows that are kept as JSON. */
export function jsonRows<Row>(found: { row: string }[]): Row[] {
  return found.map(({ row }) => JSON.parse(row) as Row)
}

export function headOf(row: Tables['ledger_head']): HeadRow {
  return {
    seq: row.seq,
    hash: row.hash,
    given: JSON.parse(row.given) as Record<string, number>,
    releasedPlan: row.released_plan,
    releasedSeq: row.released_seq,
  }
}

export function stretchOf(row: Tables['stretch']): StretchRow {
  const { strip, from_um, to_um, use, ref, cause, ratio, seq } = row
  return { strip, fromUm: from_um, toUm: to_um, use: use as StretchRow['use'], ref, cause, ratio, seq }
}

export function stretchRow(stretch: StretchRow): Tables['stretch'] {
  const { strip, fromUm, toUm, use, ref, cause, ratio, seq } = stretch
  return { strip, from_um: fromUm, to_um: toUm, use, ref, cause, ratio, seq }
}

export function stripRow(strip: StripRow): Tables['strip'] {
  return { strip: strip.strip, cable: strip.cable, lot: strip.lot, row: JSON.stringify(strip) }
}

export function drumRow(drum: DrumRow): Tables['drum'] {
  return {
    drum: drum.drum,
    strip: drum.strip,
    from_um: drum.fromUm,
    to_um: drum.toUm,
    mounted_on: drum.mountedOn,
    row: JSON.stringify(drum),
  }
}

export function faultRow(fault: FaultRow): Tables['fault'] {
  return { fault: fault.fault, strip: fault.strip, row: JSON.stringify(fault) }
}

export function pieceRow(piece: PieceRow): Tables['piece'] {
  return {
    serial: piece.serial,
    cable: piece.cable,
    lot: piece.lot,
    strip: piece.strip,
    from_um: piece.fromUm,
    to_um: piece.toUm,
    parent: piece.parent,
    line: piece.line,
    at: piece.at,
    actor: piece.actor,
    order_id: piece.order,
    order_line: piece.orderLine,
    where_is: piece.where,
    shipment: piece.shipment,
    row: JSON.stringify(piece),
  }
}

export function movementRow(movement: MovementRow): Tables['movement'] {
  const { seq, n, at, cable, lot, strip, line, actor, what, um, uncUm, cause } = movement
  return { seq, n, at, cable, lot, strip, line, actor, what, um, unc_um: uncUm, cause }
}

/** Tools and instruments that a piece met, each once. */
export function toolsOf({ tools, figures }: PieceRow): string[] {
  return [...new Set([...tools, ...figures.flatMap(({ instrument }) => instrument ?? [])])]
}

export function lotRow(lot: LotRow): Tables['lot_test'] {
  return { lot: lot.lot, row: JSON.stringify(lot) }
}

export function checkRow(check: CheckRow): Tables['check_record'] {
  return {
    check_id: check.check,
    what: check.what,
    subject: check.subject,
    at: check.at,
    passed: check.passed ? 1 : 0,
    row: JSON.stringify(check),
  }
}

export function complaintRow(complaint: ComplaintRow): Tables['complaint'] {
  return {
    complaint: complaint.complaint,
    serial: complaint.serial,
    verdict: complaint.verdict,
    row: JSON.stringify(complaint),
  }
}

export function asideRow(aside: AsideRow): Tables['aside'] {
  return { seq: aside.seq, settled: aside.settled ? 1 : 0, row: JSON.stringify(aside) }
}

/** Pieces that an event names. */
export function pieceEventRows({ seq, body }: Pick<LedgerEvent, 'seq' | 'body'>): Tables['piece_event'][] {
  return serialsIn(body).map((serial) => ({ serial, seq }))
}
