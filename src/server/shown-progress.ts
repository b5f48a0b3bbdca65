import { type Plan, toldBoundEur } from '../plan/plan.ts'
import { eurFromMicro, type MicroEur } from '../quantity/money.ts'
import type { PlanningProgress } from '../solver/start-planning.ts'
import type { PlanProgress } from '../works/api.ts'

/** Nothing is being planned. */
export const IDLE: PlanProgress = {
  state: 'idle',
  planId: null,
  phase: null,
  elapsedMs: 0,
  seconds: 0,
  unservedEur: null,
  costEur: null,
  boundCostEur: null,
  boundUnservedEur: null,
  message: null,
}

/** A step of the planner as the screens are told of it. */
export function shownStep(step: PlanningProgress): Partial<PlanProgress> {
  return {
    phase: step.phase,
    elapsedMs: Math.round(step.elapsedMs),
    unservedEur: shownEur(step.unservedMicro),
    costEur: shownEur(step.costMicro),
    boundCostEur: shownEur(step.boundCostMicro),
    boundUnservedEur: shownEur(step.boundUnservedMicro),
  }
}

export function shownEnd(plan: Plan): Partial<PlanProgress> {
  return {
    state: 'done',
    phase: 'done',
    unservedEur: eurFromMicro(plan.unservedMicro),
    costEur: eurFromMicro(plan.costMicro),
    boundCostEur: toldBoundEur(plan),
    boundUnservedEur: shownEur(plan.bound.unservedMicro),
  }
}

/** A bound that is not proven yet is minus infinity to the planner and nothing to the screens. */
function shownEur(micro: MicroEur | null): number | null {
  return micro === null || !Number.isFinite(micro) ? null : eurFromMicro(micro)
}
