import type { EventOf, LedgerEvent } from './event.ts'
import { tookNumber } from './next-number.ts'
import type { LedgerState } from './state.ts'

/** The newest test of a lot is what stands. */
export function lotTested(state: LedgerState, { at, seq }: LedgerEvent, body: EventOf<'lot-tested'>): void {
  const { lot, cable, figures, passed } = body
  state.lots.put(lot, { lot, cable, figures, passed, at, seq })
}

export function checkRecorded(
  state: LedgerState,
  { at, actor, seq }: LedgerEvent,
  body: EventOf<'check-recorded'>,
): void {
  const { kind: _kind, ...check } = body
  tookNumber(state, 'check', check.check)
  state.checks.put(check.check, { ...check, at, actor, seq })
}

export function complaintOpened(
  state: LedgerState,
  { at, seq }: LedgerEvent,
  body: EventOf<'complaint-opened'>,
): void {
  const { kind: _kind, ...complaint } = body
  tookNumber(state, 'complaint', complaint.complaint)
  state.complaints.put(complaint.complaint, {
    ...complaint,
    openedAt: at,
    verdict: 'open',
    closedNote: null,
    seq,
  })
}

export function complaintClosed(
  state: LedgerState,
  _event: LedgerEvent,
  body: EventOf<'complaint-closed'>,
): void {
  const row = state.complaints.get(body.complaint)
  if (!row) throw new Error(`the complaint ${body.complaint} was not loaded`)
  state.complaints.put(row.complaint, { ...row, verdict: body.verdict, closedNote: body.note })
}

export function recordSetAside(
  state: LedgerState,
  { at, actor, station, seq }: LedgerEvent,
  body: EventOf<'record-set-aside'>,
): void {
  const { commandKind, commandText, why } = body
  const row = { seq, commandKind, commandText, why, station, actor, at, settled: false }
  state.asides.put(String(seq), row)
}

export function recordSettled(
  state: LedgerState,
  _event: LedgerEvent,
  body: EventOf<'record-settled'>,
): void {
  const row = state.asides.get(String(body.aside))
  if (!row) throw new Error(`the record ${body.aside} was not loaded`)
  state.asides.put(String(body.aside), { ...row, settled: true })
}
