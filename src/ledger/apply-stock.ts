import type { EventOf, LedgerEvent } from './event.ts'
import { knownDrum, stretchesOf, stripOf } from './known.ts'
import { move } from './movement.ts'
import { tookNumber } from './next-number.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, FaultRow, StretchRow } from './state-rows.ts'
import { between, innerUm, outerUm, trueUm } from './strip-place.ts'
import { recut, stretchFrom } from './strip-recut.ts'

export function drumReceived(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-received'>): void {
  const { drum, cable, lot, lengthUm, lengthUncUm, origin, marks, faults } = body
  const { seq, at } = event
  const receivedAt = body.receivedDate ?? at
  const strip = { strip: drum, cable, lot, lengthUm, lengthUncUm, receivedAt, origin, marks, seq }
  tookNumber(state, 'remnant', drum)
  state.strips.put(drum, strip)
  const whole = { fromUm: 0, toUm: lengthUm, ratio: 1, seq }
  state.stretches.put(drum, [{ strip: drum, ...whole, use: 'drum', ref: drum, cause: null }])
  const { putup, status, reason, place, endCaps, rewinds, grossKg, tareKg } = body
  state.drums.put(drum, {
    ...{ drum, strip: drum, ...whole, uncUm: lengthUncUm, outer: 'from', outerFresh: false },
    ...{ kind: body.drumKind, putup, status, reason, place, endCaps, rewinds, grossKg, tareKg },
    mountedOn: null,
  })
  for (const fault of faults) {
    tookNumber(state, 'fault', fault.fault)
    state.faults.put(fault.fault, { ...fault, strip: drum, line: null, signal: false, withdrawn: false, seq })
  }
  move(state, event, strip, { what: 'received', um: lengthUm, uncUm: lengthUncUm, cause: origin })
}

export function drumHeld(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-held'>): void {
  changed(state, event, body.drum, { status: body.status, reason: body.reason })
}

export function drumReleased(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-released'>): void {
  changed(state, event, body.drum, { status: 'free', reason: body.reason })
}

export function drumMoved(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-moved'>): void {
  changed(state, event, body.drum, { place: body.place })
}

export function drumWeighed(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-weighed'>): void {
  changed(state, event, body.drum, { grossKg: body.grossKg, tareKg: body.tareKg })
}

export function drumCounted(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-counted'>): void {
  const row = knownDrum(state, body.drum)
  const um = body.foundUm - body.bookUm
  const uncUm = Math.hypot(body.foundUncUm, row.uncUm)
  move(state, event, stripOf(state, row), { what: 'counted', um, uncUm, cause: row.drum })
}

export function drumMounted(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-mounted'>): void {
  const mountedUm = outerUm(knownDrum(state, body.drum))
  changed(state, event, body.drum, { mountedOn: body.line, mountedUm })
}

export function drumPutAway(state: LedgerState, event: LedgerEvent, body: EventOf<'drum-put-away'>): void {
  const { drum, place, endCaps, markRead } = body
  const row = knownDrum(state, drum)
  const marked = markRead === null || row.fromUm === row.toUm ? {} : { markedUm: outerUm(row) }
  changed(state, event, drum, { mountedOn: null, outerFresh: false, place, endCaps, ...marked })
}

export function faultFound(state: LedgerState, { seq }: LedgerEvent, body: EventOf<'fault-found'>): void {
  const { kind: _kind, ...found } = body
  tookNumber(state, 'fault', body.fault)
  state.faults.put(body.fault, { ...found, withdrawn: false, seq })
}

export function faultPlaced(state: LedgerState, _event: LedgerEvent, body: EventOf<'fault-placed'>): void {
  const { kind: _kind, ...placed } = body
  state.faults.put(body.fault, { ...faultOf(state, body.fault), ...placed })
}

export function faultWithdrawn(
  state: LedgerState,
  _event: LedgerEvent,
  body: EventOf<'fault-withdrawn'>,
): void {
  state.faults.put(body.fault, { ...faultOf(state, body.fault), withdrawn: true })
}

/** What had run out before is missing from the strip; a drum of which nothing is left is empty. */
export function restMeasured(state: LedgerState, event: LedgerEvent, body: EventOf<'rest-measured'>): void {
  const { drum, strip, fromUm, toUm, ratio, uncUm, newRestUm, how } = body
  const row = knownDrum(state, drum)
  const gone = newRestUm === 0
  const { seq } = event
  const inner = innerUm(row)
  const endUm = gone ? outerUm(row) : (body.endUm ?? inner)
  const on = between(outerUm(row), endUm)
  recut(state, event, {
    ...{ strip, fromUm, toUm, line: row.mountedOn, cause: how },
    into: [
      { strip, ...on, use: 'drum', ref: drum, cause: null, ratio, seq },
      { strip, ...between(endUm, inner), use: 'missing', ref: null, cause: null, ratio: 0, seq },
    ],
    uncUm: Math.hypot(uncUm, row.uncUm),
  })
  // an empty drum lies where its inner end was, and has left its line
  changed(
    state,
    event,
    drum,
    gone
      ? { fromUm: inner, toUm: inner, uncUm: 0, outerFresh: false, mountedOn: null }
      : { ...on, ratio, uncUm },
  )
}

/**
 * Both neighbours get other ends. What a piece measures stays, it was measured; the rest of a drum and what was cut off go
 * by the strip, and what that changes is booked.
 */
export function cutMoved(state: LedgerState, event: LedgerEvent, body: EventOf<'cut-moved'>): void {
  const { strip, fromUm, toUm } = body
  const stretches = stretchesOf(state, strip)
  const after = stretchFrom(stretches, fromUm)
  const before = after && stretches[stretches.indexOf(after) - 1]
  if (!before || !after) throw new Error(`event ${event.seq}: the strip ${strip} has no cut at ${fromUm}`)
  const into = [withEnds(before, before.fromUm, toUm), withEnds(after, toUm, after.toUm)]
  recut(state, event, {
    ...{ strip, fromUm: before.fromUm, toUm: after.toUm, into },
    uncUm: 0,
    cause: 'cut moved',
  })
  for (const [was, is] of [[before, into[0]!] as const, [after, into[1]!] as const])
    follow(state, event, was, is)
}

function withEnds(stretch: StretchRow, fromUm: number, toUm: number): StretchRow {
  const measured = stretch.use !== 'drum' && stretch.ref !== null
  const ratio = measured ? trueUm(stretch) / (toUm - fromUm) : stretch.ratio
  return { ...stretch, fromUm, toUm, ratio }
}

function follow(state: LedgerState, event: LedgerEvent, was: StretchRow, is: StretchRow): void {
  const ends = { fromUm: is.fromUm, toUm: is.toUm }
  const drum = is.use === 'drum' ? state.drums.get(is.ref ?? '') : undefined
  if (drum) state.drums.put(drum.drum, { ...drum, ...ends })
  const piece = is.ref === null ? undefined : state.pieces.get(is.ref)
  if (piece) state.pieces.put(piece.serial, { ...piece, ...ends })
  if (is.use === 'scrap' || is.use === 'trim' || is.use === 'sample')
    move(state, event, stripOf(state, is), {
      ...{ what: is.use, um: trueUm(is) - trueUm(was), uncUm: 0, cause: is.cause },
    })
}

function changed(state: LedgerState, { seq }: LedgerEvent, drum: string, change: Partial<DrumRow>): void {
  state.drums.put(drum, { ...knownDrum(state, drum), ...change, seq })
}

function faultOf(state: LedgerState, fault: string): FaultRow {
  const row = state.faults.get(fault)
  if (!row) throw new Error(`the fault ${fault} was not loaded`)
  return row
}
