import type { PlanInput } from '../plan/plan-input.ts'
import type { PlanOrigin } from './event.ts'
import type { LedgerState } from './state.ts'
import { outerUm } from './strip-place.ts'

/** What of the hall a plan was made for, kept with it. */
export interface PlanFloor extends Pick<PlanInput, 'drums' | 'marks' | 'faults' | 'orders'> {
  /** Seq of the newest event in it. */
  seq: number
  /** Where the outer end of each drum lay. */
  origins: PlanOrigin[]
}

/** @param now worksNow of `open` */
export function planFloorOf(now: PlanInput, open: LedgerState): PlanFloor {
  const { drums, marks, faults, orders } = now
  return { seq: open.head.seq, drums, marks, faults, orders, origins: originsOf(open) }
}

/** Where the outer end of each drum that is not empty lies. */
export function originsOf(open: LedgerState): PlanOrigin[] {
  return [...open.drums.rows()]
    .filter((row) => row.toUm > row.fromUm)
    .map((row) => ({
      drum: row.drum,
      strip: row.strip,
      outerUm: outerUm(row),
      outer: row.outer,
      ratio: row.ratio,
    }))
}
