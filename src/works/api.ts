import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
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

/** GET /api/input: the checked works, for the screens to draw and compute with the pure rooms. */
export interface InputAnswer {
  version: number
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
  madeAt: string
  seconds: number
  plan: Plan
}
