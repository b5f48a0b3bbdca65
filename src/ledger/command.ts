import type { LengthUm } from '../quantity/length.ts'
import type { Fault } from '../strip/fault.ts'
import type { EventBody, EventOf, FinishedLead } from './event.ts'
import type { DrumStatus, EndCaps, NewFault, StripMark } from './state-rows.ts'

/**
 * What a person or a station wants booked. It becomes one event or is refused with a sentence; what can be derived
 * (places on the strip, serials, declared lengths, numbers) is left to the ledger.
 */
export interface Command {
  /** Made at the station, unique for ever: sending it again changes nothing and answers the same. */
  key: string
  /** ISO 8601, UTC, by the station's clock. */
  at: string
  station: string
  planId: number | null
  /** Seq of the event that this one corrects. */
  corrects: number | null
  body: CommandBody
}

export type CommandKind = CommandBody['kind']

export type CommandBody =
  | {
      kind: 'receive-drum'
      drum: string
      origin: 'opening' | 'goods in'
      cable: string
      lot: string
      drumKind: 'process_drum' | 'remnant'
      putup: string
      lengthUm: LengthUm
      lengthUncUm: number
      lengthHow: EventOf<'drum-received'>['lengthHow']
      marks: StripMark[]
      /** Without a number: the ledger gives one. */
      faults: (Omit<NewFault, 'fault'> & { fault: string | null })[]
      rewinds: number
      grossKg: number | null
      tareKg: number | null
      endCaps: EndCaps
      place: string | null
      status: DrumStatus
      reason: string | null
      /** YYYY-MM-DD, where it came before the ledger began. */
      receivedDate?: string
    }
  | ({ kind: 'receive-piece' } & Omit<Of<'piece-received'>, 'declaredText'>)
  | ({ kind: 'test-lot' } & Of<'lot-tested'>)
  | ({ kind: 'hold-drum' } & Of<'drum-held'>)
  | ({ kind: 'release-drum' } & Of<'drum-released'>)
  | ({ kind: 'move-drum' } & Of<'drum-moved'>)
  | ({ kind: 'weigh-drum' } & Of<'drum-weighed'>)
  | { kind: 'count-drum'; drum: string; foundUm: LengthUm; foundUncUm: number }
  /**
   * `place` says where: on the strip, by a mark read, or so far inward of the drum's outer end (true length; the head's
   * offset to the cutter is already added by the station).
   */
  | {
      kind: 'find-fault'
      drum: string
      code: Fault['code']
      severity: Fault['severity']
      what: string | null
      place: FaultPlace
      line: string | null
      signal: boolean
      foundAt: string | null
    }
  | { kind: 'place-fault'; fault: string; place: FaultPlace }
  | ({ kind: 'withdraw-fault' } & Of<'fault-withdrawn'>)
  /** Of 'ran out' the rest is what came off the drum and is not cut yet; nought where there is nothing. */
  | {
      kind: 'measure-rest'
      drum: string
      newRestUm: LengthUm
      uncUm: number
      how: EventOf<'rest-measured'>['how']
    }
  | ({ kind: 'move-cut' } & Of<'cut-moved'>)
  | ({ kind: 'release-plan' } & Of<'plan-released'>)
  | ({ kind: 'mount-drum' } & Of<'drum-mounted'>)
  | ({ kind: 'put-drum-away' } & Of<'drum-put-away'>)
  | {
      kind: 'cut-pieces'
      drum: string
      line: string
      mounting: number | null
      /** In the order of cutting; equal coils of a run are entries of their own. */
      pieces: WantedPiece[]
    }
  | {
      kind: 'cut-off'
      drum: string
      line: string
      /** True length; null: all that is left. */
      lengthUm: LengthUm | null
      use: 'scrap' | 'trim' | 'sample'
      cause: string
    }
  | {
      kind: 'wind-off'
      drum: string
      line: string
      /** Without a number: the ledger gives one. */
      newDrum: string | null
      lengthUm: LengthUm | null
      putup: string
      place: string
    }
  | ({ kind: 'stop-line' } & Of<'line-stopped'>)
  | ({ kind: 'spoil-piece' } & Of<'piece-spoiled'>)
  | ({ kind: 'test-piece' } & Of<'piece-tested'>)
  | { kind: 'print-label'; serial: string; printer: string; reason: string }
  | ({ kind: 'shelve-piece' } & Of<'piece-shelved'>)
  | ({ kind: 'allot-piece' } & Omit<Of<'piece-allotted'>, 'declaredText'>)
  | { kind: 'finish-leads'; from: string; leads: Omit<FinishedLead, 'serial' | 'declaredText'>[] }
  | ({ kind: 'ship-pieces' } & Of<'pieces-shipped'>)
  | ({ kind: 'return-piece' } & Of<'piece-returned'>)
  | ({ kind: 'inspect-return' } & Of<'return-inspected'>)
  | ({ kind: 'correct-piece' } & Omit<Of<'piece-corrected'>, 'declaredUm' | 'declaredText'>)
  | ({ kind: 'record-check' } & Omit<Of<'check-recorded'>, 'check'>)
  | ({ kind: 'open-complaint' } & Omit<Of<'complaint-opened'>, 'complaint'>)
  | ({ kind: 'close-complaint' } & Of<'complaint-closed'>)
  | ({ kind: 'set-record-aside' } & Of<'record-set-aside'>)
  | ({ kind: 'settle-record' } & Of<'record-settled'>)
  | ({ kind: 'change-account' } & Of<'account-changed'>)
  | ({ kind: 'sign-in' } & Of<'signed-in'>)
  | ({ kind: 'refuse-sign-in' } & Of<'sign-in-refused'>)

export type CommandOf<K extends CommandKind> = Extract<CommandBody, { kind: K }>

type Of<K extends EventBody['kind']> = Omit<EventOf<K>, 'kind'>

export type FaultPlace =
  /** Marks as read on the jacket; `segment` only where the same mark stands more than once on the strip. */
  | { by: 'mark'; markFrom: number; markTo: number; segment: number | null }
  /**
   * True lengths inward of the drum's outer end as it is now. `uncUm`: greatest error on either side where the station knows
   * of a greater one than is usual, as of a spark that was looked for now and then only.
   */
  | { by: 'counter'; fromUm: LengthUm; toUm: LengthUm; uncUm?: LengthUm | undefined }

export interface WantedPiece {
  order: string | null
  orderLine: number | null
  piece: number | null
  part: number | null
  count: number
  putup: string | null
  /** Length that a standard coil for the shelf (`order` null) is made to; absent: it declares what it measures. */
  standardUm?: LengthUm
  /** True length of the piece, corrected for the counter's error. */
  measuredUm: LengthUm
  uncUm: number
  /** True length that is trimmed off after it. */
  trimUm: LengthUm
  counterM: number | null
  /** Marks as read at both cuts; null where none was read, and the length places the cut. */
  markOuter: number | null
  markInner: number | null
  inspection: string
}
