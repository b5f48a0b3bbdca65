import type { CutPiece, EventOf, LedgerEvent } from './event.ts'
import { knownDrum, stripOf } from './known.ts'
import { move } from './movement.ts'
import { tookNumber, tookSerial } from './next-number.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, PieceRow, StretchRow, StripRow } from './state-rows.ts'
import { between, innerUm, inwardOf, otherEnd, outerUm, trueUm, withinDrum } from './strip-place.ts'
import { recut } from './strip-recut.ts'

export function piecesCut(state: LedgerState, event: LedgerEvent, body: EventOf<'pieces-cut'>): void {
  const row = knownDrum(state, body.drum)
  const strip = stripOf(state, row)
  const { line } = body
  const into: StretchRow[] = []
  let atUm = outerUm(row)
  let markedUm = row.markedUm
  let unc2 = row.uncUm ** 2
  for (const piece of body.pieces) {
    tookSerial(state, piece.serial)
    const { fromUm, toUm, measuredUm, uncUm, trimUm } = piece
    const ratio = measuredUm / (toUm - fromUm)
    into.push(stretch(event, row, { fromUm, toUm, use: 'piece', ref: piece.serial, cause: null, ratio }))
    state.pieces.put(piece.serial, pieceRow(event, body, strip, piece))
    const cutUm = row.outer === 'from' ? toUm : fromUm
    if (piece.markOuter !== null) markedUm = atUm
    if (piece.markInner !== null) markedUm = cutUm
    atUm = withinDrum(row, inwardOf(row, cutUm, trimUm))
    const trim = stretch(event, row, {
      ...between(cutUm, atUm),
      use: 'trim',
      ref: null,
      cause: 'piece trim',
      ratio: row.ratio,
    })
    into.push(trim)
    move(state, event, strip, { what: 'trim', um: trueUm(trim), uncUm: 0, cause: 'piece trim', line })
    unc2 += uncUm ** 2
  }
  const uncUm = Math.round(Math.sqrt(unc2))
  const ofPieces = Math.sqrt(unc2 - row.uncUm ** 2)
  takeOff(state, event, row, { into, atUm, uncUm: ofPieces, line, cause: 'cut by mark' })
  const left = knownDrum(state, row.drum)
  state.drums.put(row.drum, { ...left, uncUm, ...(markedUm === undefined ? {} : { markedUm }) })
}

export function lengthCutOff(state: LedgerState, event: LedgerEvent, body: EventOf<'length-cut-off'>): void {
  const row = knownDrum(state, body.drum)
  const { fromUm, toUm, lengthUm, use, cause, line } = body
  const ratio = lengthUm / (toUm - fromUm)
  const off = stretch(event, row, { fromUm, toUm, use, ref: null, cause, ratio })
  const uncUm = shareOfUnc(row, off)
  move(state, event, stripOf(state, row), { what: use, um: trueUm(off), uncUm, cause, line })
  takeOff(state, event, row, { into: [off], atUm: inwardEnd(row, off), uncUm, line, cause: 'rounding' })
}

export function remnantWoundOff(
  state: LedgerState,
  event: LedgerEvent,
  body: EventOf<'remnant-wound-off'>,
): void {
  const row = knownDrum(state, body.drum)
  const { fromUm, toUm, newDrum, putup, place, line } = body
  tookNumber(state, 'remnant', newDrum)
  const off = stretch(event, row, { fromUm, toUm, use: 'drum', ref: newDrum, cause: null, ratio: row.ratio })
  const uncUm = shareOfUnc(row, off)
  takeOff(state, event, row, { into: [off], atUm: inwardEnd(row, off), uncUm, line, cause: 'rounding' })
  state.drums.put(newDrum, {
    ...row,
    ...{ drum: newDrum, fromUm, toUm, uncUm: Math.round(uncUm), putup, place },
    outer: otherEnd(row.outer),
    outerFresh: false,
    kind: 'remnant',
    endCaps: 'both',
    rewinds: row.rewinds + 1,
    grossKg: null,
    tareKg: null,
    mountedOn: null,
    seq: event.seq,
  })
}

interface Taken {
  /** Tile what goes, from the outer end to `atUm`. */
  into: StretchRow[]
  atUm: number
  uncUm: number
  line: string
  cause: string
}

/** The outer end moves inward. A drum that is empty leaves its line by that. */
function takeOff(state: LedgerState, event: LedgerEvent, row: DrumRow, taken: Taken): void {
  const rest = between(taken.atUm, innerUm(row))
  const left = stretch(event, row, { ...rest, use: 'drum', ref: row.drum, cause: null, ratio: row.ratio })
  const { strip, fromUm, toUm } = row
  recut(state, event, { ...taken, strip, fromUm, toUm, into: [...taken.into, left] })
  const empty = rest.fromUm === rest.toUm
  state.drums.put(row.drum, {
    ...row,
    ...rest,
    uncUm: empty ? 0 : row.uncUm,
    outerFresh: !empty,
    mountedOn: empty ? null : row.mountedOn,
    seq: event.seq,
  })
}

function stretch(event: LedgerEvent, row: DrumRow, what: Omit<StretchRow, 'strip' | 'seq'>): StretchRow {
  return { ...what, strip: row.strip, seq: event.seq }
}

function inwardEnd(row: DrumRow, off: StretchRow): number {
  return row.outer === 'from' ? off.toUm : off.fromUm
}

/** Uncertainty of a length that goes by the book: its share of the drum's. */
function shareOfUnc(row: DrumRow, off: StretchRow): number {
  return (row.uncUm * (off.toUm - off.fromUm)) / (row.toUm - row.fromUm)
}

function pieceRow(
  event: LedgerEvent,
  body: EventOf<'pieces-cut'>,
  strip: StripRow,
  { fit: _fit, trimUm: _trimUm, ...piece }: CutPiece,
): PieceRow {
  const { at, actor, station, planId, seq } = event
  return {
    ...piece,
    cable: strip.cable,
    lot: strip.lot,
    strip: strip.strip,
    drum: body.drum,
    parent: null,
    line: body.line,
    ...{ at, actor, station, planId, seq },
    labelVersion: 0,
    tools: [],
    figures: [],
    passed: null,
    where: 'hall',
    place: null,
    shipment: null,
  }
}
