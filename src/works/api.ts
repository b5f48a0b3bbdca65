import type { AttenuationPoint } from '../cable/attenuation-point.ts'
import type { BenchRecords } from '../lead/job-records.ts'
import type { LeadTest } from '../lead/lead-test.ts'
import type { MonthBalance } from '../ledger/month-balance.ts'
import type { RunSample } from '../line/run-sample.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Comparison } from '../plan/compare-plans.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { PlanChange } from '../plan/repair-changes.ts'
import type { Stretch } from '../strip/usable.ts'
import type { MoreLead } from './more-lead.ts'
import type { MoreLine } from './more-line.ts'
import type { MoreRecords } from './more-records.ts'
import type { Notice, Problem } from './problem.ts'

/** What the server answers and the screens read. Paths beside each. */

/** GET /api/works. */
export interface WorksSummary {
  /** Number of this state of the works; grows with each import and each change of orders. */
  version: number
  folder: string
  name: string
  town: string
  todayDate: string
  openedAt: string
  counts: { cables: number; drums: number; faults: number; orders: number }
  notices: Notice[]
}

/** GET /api/input: the works as it is now, or as it was when a plan was made, for the screens to draw and compute with the pure rooms. */
export interface InputAnswer {
  version: number
  /** Seq of the newest event that went into it; 0 where there is no ledger. */
  seq: number
  input: PlanInput
}

/** Body of every answer that is not a success. */
export interface ErrorAnswer {
  code: string
  message: string
  todo: string
  /** At most 1 000. */
  problems?: Problem[]
  /** How many there are beyond those. */
  more?: number
}

/** POST /api/orders/preview answers this; POST /api/orders stores what was previewed under `token`. */
export interface OrdersPreview {
  token: string
  /** How the pasted or dropped content was understood, in words. */
  understood: {
    source: 'tab' | 'semicolon' | 'comma' | 'xlsx'
    decimalMark: '.' | ','
    rows: number
    /** Column as written in the content → column of orders.csv, null where it is not used. */
    columns: { found: string; takenAs: string | null }[]
    /** What was filled in or turned into another form, one sentence each. */
    notes: string[]
  }
  /** The rows as they will be stored, in the columns of orders.csv, as text. */
  rows: Record<string, string>[]
  problems: Problem[]
  more: number
  /** Order lines of the content that replace one of the same number. */
  replaces: { order: string; line: number }[]
}

/** Events of GET /api/plan/events (server-sent), and GET /api/plan/progress. */
export interface PlanProgress {
  state: 'idle' | 'running' | 'stopping' | 'done' | 'failed'
  planId: number | null
  phase: 'first plan' | 'bound' | 'improving' | 'done' | null
  elapsedMs: number
  seconds: number
  /** Best so far; null before the first plan. */
  unservedEur: number | null
  costEur: number | null
  boundCostEur: number | null
  boundUnservedEur: number | null
  message: string | null
}

/** GET /api/plan. */
export interface PlanAnswer {
  planId: number
  worksVersion: number
  /** True when orders or stock changed since. */
  stale: boolean
  /** The hall works by it. */
  inForce: boolean
  madeAt: string
  seconds: number
  plan: Plan
}

/** Body of POST /api/plan/try: changes to try on the newest plan. */
export interface TryRequest {
  changes: TryChange[]
  seconds: number
}

/** A change that a screen can ask for. Mountings and intervals are counted from 0. */
export type TryChange =
  | { kind: 'hold'; mounting: number; interval: number }
  | { kind: 'forbid'; order: string; orderLine: number; drum: string }
  | { kind: 'exclude'; drum: string }
  /** An order line like one that is there, with another number, quantity, length, due date and price. */
  | {
      kind: 'add'
      like: { order: string; orderLine: number }
      order: string
      qty: number
      length: string
      dueDate: string
      priceEur: number
    }

/** POST /api/plan/try answers this. POST /api/plan/take { token, take } stores one of the two plans as the newest. */
export interface TryAnswer {
  token: string
  /** The plan as it is, looked at as hard as the changed one. */
  before: Plan
  after: Plan
  changes: PlanChange[]
  comparison: Comparison
  /** The works that `after` is for, where an order line was added; else null. */
  addedOrder: OrderLine | null
}

/** GET /api/bench: what the lead bench computes with beside the works of /api/input. */
export interface BenchAnswer {
  version: number
  attenuation: AttenuationPoint[]
  leadTests: LeadTest[]
  more: MoreLead
  records: BenchRecords
}

/** GET /api/line: what is recorded of the lines, for their settings, their counters and their runs. */
export interface LineAnswer {
  version: number
  lineRun: RunSample[]
  monthLedger: MonthBalance[]
  /** Spark-tested stretches as a list: JSON knows no map. */
  line: Omit<MoreLine, 'sparkTested'> & { sparkTested: [string, Stretch[]][] | null }
  records: MoreRecords
}

/** POST /api/counter/preview answers this; POST /api/counter/checks stores what was previewed under `token`. */
export interface ChecksPreview {
  token: string
  understood: { source: 'tab' | 'semicolon' | 'comma'; decimalMark: '.' | ','; rows: number }
  /** The rows as they will be stored, in the columns of counter_checks.csv, as text. */
  rows: Record<string, string>[]
  problems: Problem[]
  more: number
  /** What is to be said of them: rows that are there already, checks that cannot be a counter's error, what the correction becomes. */
  notes: string[]
}

/** Body of POST /api/counter/guard: the length guard that the works accepts, seen on this version of the works. */
export interface GuardRequest {
  version: number
  lengthGuardRatio: number
}
