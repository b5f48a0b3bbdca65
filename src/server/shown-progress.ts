import type { Plan } from '../plan/plan.ts'
import { eurFromMicro } from '../quantity/money.ts'
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
  const eur = (micro: number | null) => (micro === null ? null : eurFromMicro(micro))
  return {
    phase: step.phase,
    elapsedMs: Math.round(step.elapsedMs),
    unservedEur: eur(step.unservedMicro),
    costEur: eur(step.costMicro),
    boundCostEur: eur(step.boundCostMicro),
    boundUnservedEur: eur(step.boundUnservedMicro),
  }
}

export function shownEnd(plan: Plan): Partial<PlanProgress> {
  return {
    state: 'done',
    phase: 'done',
    unservedEur: eurFromMicro(plan.unservedMicro),
    costEur: eurFromMicro(plan.costMicro),
    boundCostEur: eurFromMicro(plan.bound.costMicro),
    boundUnservedEur: eurFromMicro(plan.bound.unservedMicro),
  }
}
