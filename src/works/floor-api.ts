import type { RunRow } from '../dispatch/run-row.ts'
import type { Command, CommandBody } from '../ledger/command.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import type { AsideRow } from '../ledger/state-rows.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { ErrorAnswer } from './api.ts'

/** What the floor asks and is answered. Paths beside each. */

/** Body of POST /api/ledger/commands; `late`: sent from a station's outbox after the time. At most MAX_COMMANDS. */
export interface CommandsRequest {
  commands: Command[]
  late: boolean
  /** Who made them, all of them; absent: who sends them. Of another than the sender they are late in any case. */
  maker?: RecordMaker
}

/** Who made records, and what proves it. */
export interface RecordMaker {
  account: string
  /** Me.pass of the session under which they were made; null: made without a sign-in, which only the maker's own proves. */
  pass: string | null
  /** The station's clock as it sends, ISO 8601, UTC: by it the times of the records are set against the server's clock. */
  sentAt: string
}

export interface CommandsAnswer {
  /** In the order of the commands. */
  outcomes: CommandOutcome[]
}

export type CommandOutcome =
  /** `repeated`: was booked before under the same key. */
  | { event: LedgerEvent; repeated: boolean }
  /** `aside`: kept word for word for a person to settle, as the event of this seq. */
  | { refused: ErrorAnswer; aside: number | null }

/** GET /api/ledger/events?after=0&limit=1000, oldest first. */
export interface EventsAnswer {
  events: LedgerEvent[]
  /** What to ask `after` next; null where these were the last. */
  next: number | null
}

/** GET /api/ledger/asides: records that wait for a person. */
export interface AsidesAnswer {
  asides: AsideRow[]
}

/** GET /api/floor/lines. */
export interface FloorLines {
  lines: { line: string; bench: boolean; drum: string | null }[]
  planId: number | null
}

/** GET /api/floor?line=RW-1: now and next at one line or cutting bench. */
export interface FloorView {
  line: string
  bench: boolean
  /** Seq of the newest event that this view knows. */
  seq: number
  /** The plan in force; null before one was released. */
  plan: { planId: number; number: string; releasedAt: string; cause: 'planned' | 'repaired' } | null
  /** A newer plan than the one in force that could be released; null where there is none. */
  newerPlanId: number | null
  mounted: FloorDrum | null
  /** What is to be mounted next here; null where nothing is planned. */
  nextDrum: NextDrum | null
  /** What remains to be cut from the mounted drum, now first; empty where none is mounted or nothing remains. */
  cuts: FloorCut[]
  /** The last few pieces made here, newest first. */
  done: FloorPiece[]
  repair: FloorRepair
  dangers: string[]
  /** How readings become lengths here, in words; empty at a bench. */
  correction: string
  /** True length = reading / (1 + errorRatio). */
  errorRatio: number
  /** Standard deviation of a cut length, relative, and the part that does not grow with it, µm. */
  lengthUncRatio: number
  lengthUncUm: number
  /** Spark head to cutter, along the cable; null at a bench. */
  sparkToCutterUm: LengthUm | null
  /** To draw the mounted drum as it is: places from its outer end as it is now. */
  drawing: { usable: UsableDrum; mounting: Mounting } | null
  printer: string | null
  /** Labels that may have been printed here: a person is to look at the printer. Absent where a station keeps an older view. */
  doubts?: LabelDoubt[]
  /** Put-ups of the works, for what is wound off or put away. */
  putups: string[]
}

export interface FloorDrum {
  drum: string
  cable: string
  lot: string
  /** Number of its mounting in the plan, from 1; null where it is not in the plan. */
  mounting: number | null
  of: number
  restUm: LengthUm
  /** One standard deviation of it, µm; nought where it is not known. */
  restUncUm: number
  /** Cost of the material by costs.json. */
  eurPerM: number
  /** Mark that should stand at the outer end; null where nothing is printed. */
  outerMark: string | null
}

/** A drum that comes on later: where it lies, and the code on its run sheet. */
export interface NextDrum extends FloorDrum {
  place: string | null
  code: string
}

/** GET /api/floor/ahead?line=RW-1: what a station keeps so that it can go on with the next drums while the network is away. */
export interface FloorAhead {
  line: string
  /** Seq of the newest event that this knows. */
  seq: number
  /** The plan in force; null before one was released. */
  planId: number | null
  /** The next mountings here, in the order of the plan; what runs now is not among them. */
  drums: AheadDrum[]
  /** Mountings of the plan here beyond those. */
  more: number
}

export interface AheadDrum {
  drum: NextDrum
  /** As FloorView has them once it is mounted. */
  cuts: FloorCut[]
  dangers: string[]
  drawing: { usable: UsableDrum; mounting: Mounting }
}

export interface FloorCut {
  /** As a run sheet says it. */
  row: RunRow
  use: 'piece' | 'scrap' | 'remnant' | 'rest'
  /** What goes off the drum, with trim, true length. */
  takenUm: LengthUm
  /** What the counter shows at the stop and at the cut; null at a bench. */
  presetM: number | null
  slowAtM: number | null
  stopAtM: number | null
  /** Numbers behind the marks that should stand at both cuts; null where nothing is printed. */
  markOuter: number | null
  markInner: number | null
  markUnit: 'm' | 'ft' | null
  /** How many cuts from this one on are the same (cable, order line, length, put-up): they can be confirmed as a run. */
  equal: number
  /** What As shown books, for `equal` = n of them the same body with n pieces. */
  asShown: CommandBody
  /** Not to be released before its stretch has been spark tested. */
  held: boolean
}

/** A label of which nobody knows whether it was printed. GET /api/label-doubts: { doubts }, of all printers. */
export interface LabelDoubt {
  /** To answer it under. */
  key: string
  serial: string
  printer: string
  /** When it was sent. */
  at: string
  /** Not the one that came with the cut: a person had asked for another. */
  again: boolean
}

export interface FloorPiece {
  serial: string
  what: string
  declaredText: string
  at: string
  where: string
}

/** What a fault (or another event) did to the plan. */
export interface FloorRepair {
  state: 'none' | 'running' | 'done' | 'failed'
  /** Seq of the event that caused it. */
  because: number | null
  why: string
  /** In words, one each. */
  changes: string[]
  /** Order lines whose pieces moved or that are short now. */
  orders: string[]
  tookMs: number | null
  message: string | null
}

/** Events of GET /api/floor/events (server-sent): something changed; ask again. */
export interface FloorNews {
  seq: number
  repair: FloorRepair['state']
}

/** GET /api/floor/signals?line=RW-1, and 'signal' events of /api/floor/events. */
export interface LineSignals {
  line: string
  /** 'live', or how long nothing came, or why not. */
  state: 'none' | 'live' | 'silent' | 'failed'
  message: string | null
  at: string | null
  counterM: number | null
  speedMPerMin: number | null
  tensionN: number | null
  dancerPct: number | null
  diameterMm: number | null
  /** Sparks that wait for a person: where, true length inward of the drum's outer end. */
  sparks: { id: string; at: string; fromUm: LengthUm; uncUm: number }[]
  /** Clock off, counter reset and the like, newest first. */
  notices: { at: string; text: string }[]
}
