import type { EventOf, LedgerEvent } from './event.ts'
import { knownPiece, stretchesOf, stripOf } from './known.ts'
import { ownUm, shareUm } from './lead-share.ts'
import { move } from './movement.ts'
import { tookNumber, tookSerial } from './next-number.ts'
import { SCRAP_CAUSES } from './scrap-cause.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, PieceRow, StretchRow } from './state-rows.ts'
import { otherEnd } from './strip-place.ts'
import { recut, stretchFrom } from './strip-recut.ts'

/** What is spoiled of a bench length of which leads were made is what was left of it. */
export function pieceSpoiled(state: LedgerState, event: LedgerEvent, body: EventOf<'piece-spoiled'>): void {
  const row = knownPiece(state, body.serial)
  const cause = SCRAP_CAUSES.find((c) => c === body.cause) ?? 'spoiled'
  scrapped(state, event, row, cause)
  const partly = (row.leadsDone ?? 0) > 0
  if (partly) state.pieces.put(row.serial, { ...row, where: 'made into leads', leadsDone: row.count })
  else state.pieces.put(row.serial, { ...row, where: 'scrapped', place: null })
}

export function pieceTested(state: LedgerState, _event: LedgerEvent, body: EventOf<'piece-tested'>): void {
  const row = knownPiece(state, body.serial)
  // of each quantity the newest figures stand; all that were ever measured are in the events
  const again = new Set(body.figures.map((f) => f.quantity))
  const figures = [...row.figures.filter((f) => !again.has(f.quantity)), ...body.figures]
  state.pieces.put(row.serial, { ...row, figures, passed: body.passed })
}

export function labelPrinted(state: LedgerState, _event: LedgerEvent, body: EventOf<'label-printed'>): void {
  const row = knownPiece(state, body.serial)
  state.pieces.put(row.serial, { ...row, labelVersion: body.version })
}

export function pieceShelved(state: LedgerState, _event: LedgerEvent, body: EventOf<'piece-shelved'>): void {
  const row = knownPiece(state, body.serial)
  state.pieces.put(row.serial, { ...row, where: 'shelf', place: body.place })
}

export function pieceAllotted(
  state: LedgerState,
  _event: LedgerEvent,
  body: EventOf<'piece-allotted'>,
): void {
  const { serial, order, orderLine, declaredText } = body
  const row = knownPiece(state, serial)
  state.pieces.put(serial, { ...row, order, orderLine, piece: null, part: null, declaredText })
}

/** A lead has its share of the bench length's cable, lies in its interval and is of its lot. */
export function leadsFinished(state: LedgerState, event: LedgerEvent, body: EventOf<'leads-finished'>): void {
  const parent = knownPiece(state, body.from)
  const { seq, at, actor, station, planId } = event
  let done = parent.leadsDone ?? 0
  for (const lead of body.leads) {
    const { serial, order, orderLine, lengthUm, tools, figures, passed } = lead
    tookSerial(state, serial)
    const measuredUm = shareUm(parent, done, 1)
    done++
    state.pieces.put(serial, {
      ...parent,
      ...{ serial, parent: parent.serial, at, actor, station, planId, seq, order, orderLine },
      ...{ piece: null, part: null, count: 1, leadsDone: 0, putup: null, measuredUm },
      uncUm: Math.round(parent.uncUm / parent.count),
      declaredUm: lengthUm,
      declaredText: lead.declaredText ?? '',
      ...{ labelVersion: 0, tools, figures, passed, where: 'hall', place: null },
    })
  }
  const where = done === parent.count ? 'made into leads' : parent.where
  state.pieces.put(parent.serial, { ...parent, leadsDone: done, where })
}

export function piecesShipped(state: LedgerState, event: LedgerEvent, body: EventOf<'pieces-shipped'>): void {
  const { shipment, serials } = body
  for (const serial of serials) {
    const row = knownPiece(state, serial)
    sent(state, event, row, row.declaredUm ?? 0, row.measuredUm - (row.declaredUm ?? 0))
    state.pieces.put(serial, { ...row, where: 'shipped', place: null, shipment })
  }
}

export function pieceReturned(
  state: LedgerState,
  _event: LedgerEvent,
  body: EventOf<'piece-returned'>,
): void {
  const row = knownPiece(state, body.serial)
  state.pieces.put(row.serial, { ...row, where: 'returned', place: null })
}

export function returnInspected(
  state: LedgerState,
  event: LedgerEvent,
  body: EventOf<'return-inspected'>,
): void {
  const row = knownPiece(state, body.serial)
  const { place } = body
  const free = { order: null, orderLine: null, piece: null, part: null }
  const back = { what: 'returned' as const, um: row.measuredUm, uncUm: row.uncUm, cause: null }
  move(state, event, stripOf(state, row), back)
  if (body.verdict === 'shelf')
    state.pieces.put(row.serial, { ...row, ...free, where: 'shelf', place, shipment: null })
  else if (body.verdict === 'scrap') {
    scrapped(state, event, row, body.cause ?? 'return')
    state.pieces.put(row.serial, { ...row, where: 'scrapped', place: null })
  } else restocked(state, event, row, body)
}

/**
 * A drum again, on the same strip. A coil has been wound off its drum once: what was the outer end there lies innermost, so
 * its outer end is the other one.
 */
function restocked(
  state: LedgerState,
  event: LedgerEvent,
  row: PieceRow,
  body: EventOf<'return-inspected'>,
): void {
  const { serial, strip, fromUm, toUm, measuredUm } = row
  const newDrum = body.newDrum ?? serial
  tookNumber(state, 'remnant', newDrum)
  const was = state.drums.get(row.drum)
  const stretch = replaced(state, event, row, { use: 'drum', ref: newDrum, cause: null })
  const drum: DrumRow = {
    ...{ drum: newDrum, strip, fromUm, toUm, ratio: stretch.ratio, uncUm: row.uncUm },
    ...{ outer: otherEnd(was?.outer ?? 'to'), outerFresh: false, kind: 'remnant' },
    ...{ putup: body.putup ?? row.putup ?? '', status: 'free', reason: null, place: body.place },
    ...{ endCaps: 'both', rewinds: (was?.rewinds ?? 0) + 1, grossKg: null, tareKg: null },
    ...{ mountedOn: null, seq: event.seq },
  }
  if (measuredUm <= 0) throw new Error(`event ${event.seq}: ${serial} has no length`)
  state.drums.put(newDrum, drum)
  state.pieces.put(serial, { ...row, where: 'restocked', place: null })
}

/** What was booked as shipped or scrapped is booked anew by the difference. */
export function pieceCorrected(
  state: LedgerState,
  event: LedgerEvent,
  body: EventOf<'piece-corrected'>,
): void {
  const row = knownPiece(state, body.serial)
  const { kind: _kind, reason: _reason, ...corrected } = body
  const now = { ...row, ...corrected }
  const byUm = now.measuredUm - row.measuredUm
  if (byUm !== 0) {
    const stretch = ownStretch(state, event, row)
    const ratio = now.measuredUm / (row.toUm - row.fromUm)
    const { strip, fromUm, toUm, uncUm } = row
    recut(state, event, {
      ...{ strip, fromUm, toUm, uncUm, cause: 'corrected' },
      into: [{ ...stretch, ratio }],
      line: row.line,
    })
    if (row.where === 'scrapped')
      move(state, event, stripOf(state, row), { what: 'scrap', um: byUm, uncUm, cause: stretch.cause })
  }
  if (row.where === 'shipped' || row.where === 'returned') {
    const declaredByUm = (now.declaredUm ?? 0) - (row.declaredUm ?? 0)
    sent(state, event, row, declaredByUm, byUm - declaredByUm)
  }
  state.pieces.put(row.serial, now)
}

function sent(
  state: LedgerState,
  event: LedgerEvent,
  row: PieceRow,
  shippedUm: number,
  overUm: number,
): void {
  const strip = stripOf(state, row)
  const { order, uncUm } = row
  move(state, event, strip, { what: 'shipped', um: shippedUm, uncUm: 0, cause: order })
  move(state, event, strip, { what: 'over-length', um: overUm, uncUm, cause: order })
}

function scrapped(state: LedgerState, event: LedgerEvent, row: PieceRow, cause: string): void {
  const um = ownUm(row)
  const { uncUm, line } = row
  move(state, event, stripOf(state, row), { what: 'scrap', um, uncUm, cause, line })
  // leads lie in the interval of their bench length, which stays
  if (row.parent === null && (row.leadsDone ?? 0) === 0)
    replaced(state, event, row, { use: 'scrap', ref: row.serial, cause })
}

/** The piece's stretch with another use. */
function replaced(
  state: LedgerState,
  event: LedgerEvent,
  row: PieceRow,
  change: Pick<StretchRow, 'use' | 'ref' | 'cause'>,
): StretchRow {
  const { strip, fromUm, toUm } = row
  const into = { ...ownStretch(state, event, row), ...change, seq: event.seq }
  recut(state, event, { strip, fromUm, toUm, into: [into], uncUm: 0, cause: 'none' })
  return into
}

function ownStretch(state: LedgerState, event: LedgerEvent, { serial, strip, fromUm }: PieceRow): StretchRow {
  const stretch = stretchFrom(stretchesOf(state, strip), fromUm)
  if (!stretch) throw new Error(`event ${event.seq}: ${serial} has no stretch`)
  return stretch
}
