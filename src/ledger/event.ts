import type { LengthUm } from '../quantity/length.ts'
import type { Fault } from '../strip/fault.ts'
import type { CheckKind } from './check-kind.ts'
import type { DrumStatus, EndCaps, NewFault, OuterEnd, StripMark, TestFigure } from './state-rows.ts'

/**
 * What happened, once and for ever: an entry of the ledger. Places are whole micrometres on the strip's own coordinate,
 * which counts from the end that was outermost at receipt and never changes.
 */
export interface LedgerEvent {
  /** 1, 2, 3 ... without a gap. */
  seq: number
  /** Made at the station; the same key again is the same event. */
  key: string
  /** ISO 8601, UTC: when it happened, by the station's clock. */
  at: string
  /** ISO 8601, UTC: when it was booked, by the server's clock. */
  bookedAt: string
  /** Account of the person who made the record. */
  actor: string
  /** Account of the person who sent it, where it is another: it was kept at a station while the network was away. */
  sentBy?: string
  station: string
  /** The plan it belongs to. */
  planId: number | null
  /** The event that this one corrects. */
  corrects: number | null
  body: EventBody
  /** Hash of event `seq - 1`; 64 noughts before the first. */
  previousHash: string
  /** SHA-256 of event-text.ts' text of this event, as hexadecimal digits. */
  hash: string
}

export type EventKind = EventBody['kind']

export type EventOf<K extends EventKind> = Extract<EventBody, { kind: K }>

export type EventBody = StockEvent | FloorEvent | PieceEvent | RecordEvent

/** Goods in, store, and what is known of strips. */
export type StockEvent =
  | {
      kind: 'drum-received'
      /** Names its strip as well. */
      drum: string
      origin: 'opening' | 'goods in'
      cable: string
      lot: string
      drumKind: 'process_drum' | 'remnant'
      putup: string
      lengthUm: LengthUm
      /** One standard deviation, µm. */
      lengthUncUm: number
      lengthHow: 'book' | 'counter' | 'marks' | 'weight'
      /** Tile 0..lengthUm. */
      marks: StripMark[]
      faults: NewFault[]
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
  /** A finished piece on the shelf that was made before the ledger: a strip of its own that is all piece. */
  | {
      kind: 'piece-received'
      /** Names its strip as well. */
      serial: string
      cable: string
      lot: string
      /** True length, and one standard deviation of it, µm. */
      lengthUm: LengthUm
      lengthUncUm: number
      declaredUm: LengthUm
      declaredText: string
      putup: string
      place: string | null
      /** YYYY-MM-DD, where it is known. */
      madeDate?: string
    }
  | { kind: 'lot-tested'; lot: string; cable: string; figures: TestFigure[]; passed: boolean }
  | { kind: 'drum-held'; drum: string; status: Exclude<DrumStatus, 'free'>; reason: string }
  | { kind: 'drum-released'; drum: string; reason: string }
  | { kind: 'drum-moved'; drum: string; place: string }
  | { kind: 'drum-weighed'; drum: string; grossKg: number; tareKg: number }
  /** Stock count: what was found of it; nought where it is not there. Says what is seen, changes no length. */
  | { kind: 'drum-counted'; drum: string; bookUm: LengthUm; foundUm: LengthUm; foundUncUm: number }
  | ({ kind: 'fault-found'; strip: string; line: string | null; signal: boolean } & NewFault)
  /** The same fault, better placed. */
  | {
      kind: 'fault-placed'
      fault: string
      fromUm: LengthUm
      toUm: LengthUm
      uncUm: number
      source: Fault['positionSource']
    }
  | { kind: 'fault-withdrawn'; fault: string; reason: string }
  /**
   * The rest of a drum is longer or shorter than booked. Coordinates stay; what changes is how many true micrometres one
   * of the coordinate is worth (`ratio`). What had run out before is 'missing': the whole of it where the rest is nought, or
   * what lies inward of `endUm`, and then the ratio is of what lies outward of it.
   */
  | {
      kind: 'rest-measured'
      drum: string
      strip: string
      fromUm: LengthUm
      toUm: LengthUm
      oldRestUm: LengthUm
      newRestUm: LengthUm
      uncUm: number
      how: 'ran out' | 'more left' | 'counter' | 'weight' | 'marks'
      ratio: number
      /** Where the cable ended, of a drum that ran out with some of it not cut yet. */
      endUm?: LengthUm
    }
  /** The cut between two neighbouring stretches lies elsewhere than was booked. */
  | { kind: 'cut-moved'; strip: string; fromUm: LengthUm; toUm: LengthUm; reason: string }

/** What runs on a line or at a cutting bench. */
export type FloorEvent =
  | {
      kind: 'plan-released'
      planId: number
      worksVersion: number
      cause: 'planned' | 'repaired'
      /** Where the plan's places lie: a place p of the plan is `outerUm ± p` on the strip, divided by `ratio`. */
      origins: PlanOrigin[]
    }
  | { kind: 'drum-mounted'; drum: string; line: string; mounting: number | null }
  | {
      kind: 'drum-put-away'
      drum: string
      line: string | null
      place: string
      endCaps: EndCaps
      /** Mark read at the outer end. */
      markRead: number | null
    }
  | {
      kind: 'pieces-cut'
      drum: string
      strip: string
      line: string
      mounting: number | null
      pieces: CutPiece[]
    }
  | {
      kind: 'length-cut-off'
      drum: string
      strip: string
      line: string
      fromUm: LengthUm
      toUm: LengthUm
      /** True length. */
      lengthUm: LengthUm
      use: 'scrap' | 'trim' | 'sample'
      /** One of scrap-cause.ts for scrap; free for the others. */
      cause: string
    }
  | {
      kind: 'remnant-wound-off'
      drum: string
      strip: string
      line: string
      newDrum: string
      fromUm: LengthUm
      toUm: LengthUm
      lengthUm: LengthUm
      putup: string
      place: string
    }
  | { kind: 'line-stopped'; line: string; cause: string; minutes: number | null }

/** What happens to pieces that have a serial. */
export type PieceEvent =
  | { kind: 'piece-spoiled'; serial: string; cause: string }
  | { kind: 'piece-tested'; serial: string; figures: TestFigure[]; passed: boolean }
  | { kind: 'label-printed'; serial: string; version: number; printer: string; reason: string }
  | { kind: 'piece-shelved'; serial: string; place: string }
  /** `declaredText`: what it declares, as the market of that order line writes it. */
  | { kind: 'piece-allotted'; serial: string; order: string; orderLine: number; declaredText: string }
  | { kind: 'leads-finished'; from: string; leads: FinishedLead[] }
  | { kind: 'pieces-shipped'; shipment: string; serials: string[] }
  | { kind: 'piece-returned'; serial: string; reason: string }
  | {
      kind: 'return-inspected'
      serial: string
      verdict: 'stock' | 'shelf' | 'scrap'
      /** Where it becomes stock again: the drum that its interval is from now on. */
      newDrum: string | null
      putup: string | null
      place: string | null
      cause: string | null
    }
  | {
      kind: 'piece-corrected'
      serial: string
      order: string | null
      orderLine: number | null
      measuredUm: LengthUm
      /** Null of a bench length. */
      declaredUm: LengthUm | null
      declaredText: string
      markOuter: number | null
      markInner: number | null
      reason: string
    }

/** Checks, complaints, people, and records that need a person. */
export type RecordEvent =
  | {
      kind: 'check-recorded'
      check: string
      what: CheckKind
      /** Line or tool. */
      subject: string
      /** The cable type whose mark scale (with a tape) or mass per metre (with a scale) was checked; absent: the tool itself. */
      cable?: string
      passed: boolean
      figures: TestFigure[]
      note: string | null
    }
  | {
      kind: 'complaint-opened'
      complaint: string
      serial: string
      claim: 'short' | 'faulty'
      claimedUm: LengthUm | null
      method: string
      uncUm: number | null
      note: string | null
    }
  | { kind: 'complaint-closed'; complaint: string; verdict: 'upheld' | 'refused' | 'settled'; note: string }
  /** A record sent late that the hall as it is now cannot take: kept word for word until a person settles it. */
  | { kind: 'record-set-aside'; commandKind: string; commandText: string; why: string }
  | { kind: 'record-settled'; aside: number; how: 'booked anew' | 'dropped'; note: string }
  | { kind: 'account-changed'; account: string; what: 'added' | 'role' | 'pin' | 'closed'; role: string }
  | { kind: 'signed-in'; account: string }
  | { kind: 'sign-in-refused'; account: string; why: 'wrong' | 'locked' }

export interface PlanOrigin {
  drum: string
  strip: string
  /** Where the drum's outer end lay when the plan was made. */
  outerUm: LengthUm
  /** Which end of the strip's coordinate the outer end is. */
  outer: OuterEnd
  ratio: number
}

/** One piece off the drum: its interval on the strip and what was read and declared. */
export interface CutPiece {
  serial: string
  order: string | null
  orderLine: number | null
  piece: number | null
  part: number | null
  /** Leads in this bench length; 1 for bulk. */
  count: number
  putup: string | null
  fromUm: LengthUm
  toUm: LengthUm
  /** True length of the piece by its measurement, corrected. */
  measuredUm: LengthUm
  /** One standard deviation, µm. */
  uncUm: number
  /** Trim that goes with the piece, cut off inwards of it, true length. */
  trimUm: LengthUm
  /** Raw reading, m; null at a bench. */
  counterM: number | null
  markOuter: number | null
  markInner: number | null
  /** Lower bound that is declared; null of a bench length. */
  declaredUm: LengthUm | null
  declaredText: string
  fit: 'good' | 'short' | 'long'
  /** 'as shown', or what was seen. */
  inspection: string
}

export interface FinishedLead {
  serial: string
  order: string | null
  orderLine: number | null
  lengthUm: LengthUm
  /** Its length as the market of its order line writes it; events booked before this was kept have none. */
  declaredText?: string
  tools: string[]
  connectorLots: string[]
  figures: TestFigure[]
  passed: boolean
}
