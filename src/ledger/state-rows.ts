import type { LengthUm } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { Fault } from '../strip/fault.ts'
import type { CheckKind } from './check-kind.ts'

/** What the events add up to: the tables of the present state. Every row can be rebuilt from the events. */

export type DrumStatus = Drum['status']

export type EndCaps = Drum['endCaps']

export interface NewFault {
  fault: string
  code: Fault['code']
  what: string | null
  severity: Fault['severity']
  fromUm: LengthUm
  toUm: LengthUm
  /** Greatest error of the place on either side, µm, as in faults.csv. */
  uncUm: number
  source: Fault['positionSource']
  foundAt: string | null
  foundDate: string
}

/** Which end of the coordinate lies outermost: its lower ('from') or its upper one ('to'). */
export type OuterEnd = 'from' | 'to'

/** Jacket marks over a stretch of a strip without a restart: linear between its ends. */
export interface StripMark {
  fromUm: LengthUm
  toUm: LengthUm
  markFrom: number | null
  markTo: number | null
  printUnit: 'm' | 'ft' | 'none'
}

export interface TestFigure {
  quantity: string
  /** MHz, where it depends on the frequency. */
  fMhz: number | null
  value: number
  unit: string
  /** What it was judged against; null where nothing was. */
  limit: number | null
  instrument: string | null
}

/** One manufactured length. Its coordinate runs 0..lengthUm, its marks lie on it for ever. */
export interface StripRow {
  strip: string
  cable: string
  lot: string
  lengthUm: LengthUm
  lengthUncUm: number
  /** ISO 8601: an instant, or the day alone where it came before the ledger. */
  receivedAt: string
  origin: 'opening' | 'goods in'
  marks: StripMark[]
  seq: number
}

/** The stretches of a strip partition it: none overlap, none is missing. */
export interface StretchRow {
  strip: string
  fromUm: LengthUm
  toUm: LengthUm
  /** 'missing': booked, but the cable had run out before. */
  use: 'drum' | 'piece' | 'scrap' | 'trim' | 'sample' | 'missing'
  /** Drum or serial. */
  ref: string | null
  cause: string | null
  /** True length over coordinate length. */
  ratio: number
  seq: number
}

/** What lies on one drum, spool or coil in the store: one stretch of one strip. A row that is empty stays, with from = to. */
export interface DrumRow {
  drum: string
  strip: string
  fromUm: LengthUm
  toUm: LengthUm
  ratio: number
  /** One standard deviation of its true length, µm. */
  uncUm: number
  outer: OuterEnd
  /** The outer end was cut on the line and the drum has not left it: no end loss there. */
  outerFresh: boolean
  /** Place on the strip last seen by its mark, at a cut or at the outer end; absent: the end outermost at receipt. */
  markedUm?: LengthUm
  kind: Drum['kind']
  putup: string
  status: DrumStatus
  reason: string | null
  place: string | null
  endCaps: EndCaps
  rewinds: number
  grossKg: number | null
  tareKg: number | null
  mountedOn: string | null
  /** Where its outer end lay when it was mounted last; absent before. What the spark tester has seen follows from it. */
  mountedUm?: LengthUm
  seq: number
}

export interface FaultRow extends NewFault {
  strip: string
  line: string | null
  signal: boolean
  withdrawn: boolean
  seq: number
}

export type PieceWhere =
  | 'hall'
  | 'shelf'
  | 'shipped'
  | 'returned'
  | 'scrapped'
  | 'restocked'
  | 'made into leads'

/** Line of a piece that was made before the ledger began. */
export const BEFORE_LEDGER = 'opening'

export interface PieceRow {
  serial: string
  cable: string
  lot: string
  strip: string
  /** Leads lie in the interval of the bench length they came from. */
  fromUm: LengthUm
  toUm: LengthUm
  /** What it was cut from; null of a lead. */
  drum: string
  /** Bench length that a lead was made from. */
  parent: string | null
  line: string
  /** ISO 8601: an instant, or the day alone where it was made before the ledger. */
  at: string
  actor: string
  station: string
  planId: number | null
  order: string | null
  orderLine: number | null
  piece: number | null
  part: number | null
  /** Leads in this bench length; 1 of bulk and of a lead. */
  count: number
  /** Of a bench length: leads made of it or given up; absent: none. */
  leadsDone?: number
  putup: string | null
  /** True length; of a lead its share of the bench length. */
  measuredUm: LengthUm
  uncUm: number
  counterM: number | null
  markOuter: number | null
  markInner: number | null
  declaredUm: LengthUm | null
  declaredText: string
  inspection: string
  labelVersion: number
  tools: string[]
  figures: TestFigure[]
  passed: boolean | null
  where: PieceWhere
  place: string | null
  shipment: string | null
  seq: number
}

export interface LotRow {
  lot: string
  cable: string
  figures: TestFigure[]
  passed: boolean
  at: string
  seq: number
}

export interface CheckRow {
  check: string
  what: CheckKind
  subject: string
  cable?: string
  at: string
  actor: string
  passed: boolean
  figures: TestFigure[]
  note: string | null
  seq: number
}

export interface ComplaintRow {
  complaint: string
  serial: string
  claim: 'short' | 'faulty'
  claimedUm: LengthUm | null
  method: string
  uncUm: number | null
  note: string | null
  openedAt: string
  verdict: 'open' | 'upheld' | 'refused' | 'settled'
  closedNote: string | null
  seq: number
}

/** Metres that came, went or were found wrong: what a balance sums. One event makes several. */
export interface MovementRow {
  seq: number
  /** 0, 1, ... within the event. */
  n: number
  at: string
  cable: string
  lot: string
  strip: string
  line: string | null
  actor: string
  /**
   * 'shipped' counts what was declared, 'over-length' what was given beyond it (less than nought where it was short, and
   * of a lead, whose length holds its connectors). 'book error' is what a measurement found more (+) or less (-) than was
   * booked. 'returned' came back, counted when it is inspected; until then it lies with what was shipped. 'counted' is
   * what a stock count found more (+) or less (-) than the book; it changes no length.
   */
  what:
    | 'received'
    | 'shipped'
    | 'over-length'
    | 'scrap'
    | 'trim'
    | 'sample'
    | 'book error'
    | 'returned'
    | 'counted'
  um: number
  /** One standard deviation, µm. */
  uncUm: number
  cause: string | null
}

/** A record that waits for a person. */
export interface AsideRow {
  seq: number
  commandKind: string
  commandText: string
  why: string
  station: string
  actor: string
  at: string
  settled: boolean
}

/** The plan the floor works by, and the counters that give out numbers. */
export interface HeadRow {
  seq: number
  hash: string
  /** Running numbers given out so far, by what they number: 'fault', 'check', 'complaint', 'remnant', and 'serial 31' for each year. */
  given: Record<string, number>
  releasedPlan: number | null
  /** Seq of the event that released it. */
  releasedSeq: number | null
}
