import { lengthCutOff, piecesCut, remnantWoundOff } from './apply-cut.ts'
import {
  labelPrinted,
  leadsFinished,
  pieceAllotted,
  pieceCorrected,
  pieceReturned,
  pieceShelved,
  pieceSpoiled,
  piecesShipped,
  pieceTested,
  returnInspected,
} from './apply-piece.ts'
import {
  checkRecorded,
  complaintClosed,
  complaintOpened,
  lotTested,
  recordSetAside,
  recordSettled,
} from './apply-record.ts'
import {
  cutMoved,
  drumCounted,
  drumHeld,
  drumMounted,
  drumMoved,
  drumPutAway,
  drumReceived,
  drumReleased,
  drumWeighed,
  faultFound,
  faultPlaced,
  faultWithdrawn,
  restMeasured,
} from './apply-stock.ts'
import type { EventKind, EventOf, LedgerEvent } from './event.ts'
import { pieceReceived } from './receive-piece.ts'
import type { LedgerState } from './state.ts'

type Applier<K extends EventKind> = (state: LedgerState, event: LedgerEvent, body: EventOf<K>) => void

const nothing = () => {}

const APPLIERS: { [K in EventKind]: Applier<K> } = {
  'drum-received': drumReceived,
  'piece-received': pieceReceived,
  'lot-tested': lotTested,
  'drum-held': drumHeld,
  'drum-released': drumReleased,
  'drum-moved': drumMoved,
  'drum-weighed': drumWeighed,
  'drum-counted': drumCounted,
  'fault-found': faultFound,
  'fault-placed': faultPlaced,
  'fault-withdrawn': faultWithdrawn,
  'rest-measured': restMeasured,
  'cut-moved': cutMoved,
  'plan-released': (state, { seq }, { planId }) => {
    state.head = { ...state.head, releasedPlan: planId, releasedSeq: seq }
  },
  'drum-mounted': drumMounted,
  'drum-put-away': drumPutAway,
  'pieces-cut': piecesCut,
  'length-cut-off': lengthCutOff,
  'remnant-wound-off': remnantWoundOff,
  'line-stopped': nothing,
  'piece-spoiled': pieceSpoiled,
  'piece-tested': pieceTested,
  'label-printed': labelPrinted,
  'piece-shelved': pieceShelved,
  'piece-allotted': pieceAllotted,
  'leads-finished': leadsFinished,
  'pieces-shipped': piecesShipped,
  'piece-returned': pieceReturned,
  'return-inspected': returnInspected,
  'piece-corrected': pieceCorrected,
  'check-recorded': checkRecorded,
  'complaint-opened': complaintOpened,
  'complaint-closed': complaintClosed,
  'record-set-aside': recordSetAside,
  'record-settled': recordSettled,
  'account-changed': nothing,
  'signed-in': nothing,
  'sign-in-refused': nothing,
}

/**
 * What an event does to the state (or to the part of it that concern.ts names): the fold of which every row is made.
 * Throws where the state is not the one the event was decided in; then the ledger is broken, not the user's doing.
 */
export function applyEvent(state: LedgerState, event: LedgerEvent): void {
  const apply = APPLIERS[event.body.kind] as Applier<EventKind>
  apply(state, event, event.body)
  state.head = { ...state.head, seq: event.seq, hash: event.hash }
}
