import type { Command, CommandKind, CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import { cutOff, cutPieces, windOff } from './decide-cut.ts'
import { findFault, moveCut, placeFault, withdrawFault } from './decide-fault.ts'
import { mountDrum, putDrumAway, releasePlan, stopLine } from './decide-floor.ts'
import {
  allotPiece,
  correctPiece,
  finishLeads,
  printLabel,
  shelvePiece,
  spoilPiece,
  testPiece,
} from './decide-piece.ts'
import { receiveDrum } from './decide-receive.ts'
import { closeComplaint, openComplaint, recordCheck, settleRecord } from './decide-record.ts'
import { inspectReturn, returnPiece, shipPieces } from './decide-send.ts'
import {
  countDrum,
  holdDrum,
  measureRest,
  moveDrum,
  releaseDrum,
  testLot,
  weighDrum,
} from './decide-stock.ts'
import type { EventBody } from './event.ts'
import { receivePiece } from './receive-piece.ts'
import { refused } from './refuse.ts'
import type { LedgerState } from './state.ts'

type Decider<K extends CommandKind> = (
  state: LedgerState,
  body: CommandOf<K>,
  context: LedgerContext,
) => EventBody

const DECIDERS: { [K in CommandKind]: Decider<K> } = {
  'receive-drum': receiveDrum,
  'receive-piece': receivePiece,
  'test-lot': testLot,
  'hold-drum': holdDrum,
  'release-drum': releaseDrum,
  'move-drum': moveDrum,
  'weigh-drum': weighDrum,
  'count-drum': countDrum,
  'find-fault': findFault,
  'place-fault': placeFault,
  'withdraw-fault': withdrawFault,
  'measure-rest': measureRest,
  'move-cut': moveCut,
  'release-plan': releasePlan,
  'mount-drum': mountDrum,
  'put-drum-away': putDrumAway,
  'cut-pieces': cutPieces,
  'cut-off': cutOff,
  'wind-off': windOff,
  'stop-line': stopLine,
  'spoil-piece': spoilPiece,
  'test-piece': testPiece,
  'print-label': printLabel,
  'shelve-piece': shelvePiece,
  'allot-piece': allotPiece,
  'finish-leads': finishLeads,
  'ship-pieces': shipPieces,
  'return-piece': returnPiece,
  'inspect-return': inspectReturn,
  'correct-piece': correctPiece,
  'record-check': recordCheck,
  'open-complaint': openComplaint,
  'close-complaint': closeComplaint,
  'set-record-aside': (_state, body) => ({ ...body, kind: 'record-set-aside' }),
  'settle-record': settleRecord,
  'change-account': (_state, body) => ({ ...body, kind: 'account-changed' }),
  'sign-in': (_state, body) => ({ ...body, kind: 'signed-in' }),
  'refuse-sign-in': (_state, body) => ({ ...body, kind: 'sign-in-refused' }),
}

/**
 * The event that a command becomes in the state as it is (or the part of it that concern.ts names), or a refusal
 * ('command-refused') in a sentence that says what is so now. Changes nothing; the same state and command decide the same.
 *
 * Of several reasons to refuse, the first in this order is said: what the ledger or the works does not know; what stands
 * in the way (held, mounted elsewhere, shipped); lengths and places; names that are taken.
 */
export function decide(state: LedgerState, command: Command, context: LedgerContext): EventBody {
  if (command.corrects !== null && command.corrects > state.head.seq)
    throw refused(`There is no record ${command.corrects} to correct; the last one is ${state.head.seq}.`)
  const decider = DECIDERS[command.body.kind] as Decider<CommandKind>
  return decider(state, command.body, context)
}

/**
 * Seq of the event that a command corrects: as the command says, else the one that what it names is from; null where it
 * corrects nothing.
 */
export function correctedSeq(state: LedgerState, { corrects, body }: Command): number | null {
  if (corrects !== null) return corrects
  switch (body.kind) {
    case 'place-fault':
    case 'withdraw-fault':
      return state.faults.get(body.fault)?.seq ?? null
    case 'correct-piece':
      return state.pieces.get(body.serial)?.seq ?? null
    case 'move-cut': {
      const beside = state.stretches
        .get(body.strip)
        ?.filter((s) => s.fromUm === body.fromUm || s.toUm === body.fromUm)
      return beside && beside.length > 0 ? Math.max(...beside.map((s) => s.seq)) : null
    }
    default:
      return null
  }
}
