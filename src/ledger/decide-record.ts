import { measuresType } from './check-kind.ts'
import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import type { EventBody } from './event.ts'
import { knownCable, knownPiece } from './known.ts'
import { nextNumber } from './next-number.ts'
import { refused } from './refuse.ts'
import type { LedgerState } from './state.ts'

/** Of a cable type only what measures one: a tape its mark scale, a scale its mass per metre. */
export function recordCheck(
  state: LedgerState,
  body: CommandOf<'record-check'>,
  context: LedgerContext,
): EventBody {
  const { what, cable } = body
  if (cable !== undefined) {
    knownCable(context, cable)
    if (!measuresType(what))
      throw refused(
        `A ${what} says nothing of the mark scale or the mass of ${cable}; a tape or a scale does.`,
      )
  }
  return { ...body, kind: 'check-recorded', check: nextNumber(state, 'check') }
}

export function openComplaint(state: LedgerState, body: CommandOf<'open-complaint'>): EventBody {
  knownPiece(state, body.serial)
  return { ...body, kind: 'complaint-opened', complaint: nextNumber(state, 'complaint') }
}

export function closeComplaint(state: LedgerState, body: CommandOf<'close-complaint'>): EventBody {
  const row = state.complaints.get(body.complaint)
  if (!row) throw refused(`The ledger has no complaint ${body.complaint}.`)
  if (row.verdict !== 'open') throw refused(`Complaint ${body.complaint} is closed: ${row.verdict}.`)
  return { ...body, kind: 'complaint-closed' }
}

export function settleRecord(state: LedgerState, body: CommandOf<'settle-record'>): EventBody {
  const row = state.asides.get(String(body.aside))
  if (!row) throw refused(`No record ${body.aside} was set aside.`)
  if (row.settled) throw refused(`Record ${body.aside} is settled already.`)
  return { ...body, kind: 'record-settled' }
}
