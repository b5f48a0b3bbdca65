import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'

export interface PlanningProgress {
  phase: 'first plan' | 'bound' | 'improving' | 'done'
  elapsedMs: number
  /** Best so far; null before the first plan. */
  unservedMicro: number | null
  costMicro: number | null
  boundUnservedMicro: number | null
  boundCostMicro: number | null
  /** A new best plan, checked by plan/verify; null when only the bound or the clock moved. */
  plan: Plan | null
}

export interface PlanningOptions {
  seconds: number
  seed: number
  onProgress: (progress: PlanningProgress) => void
}

export interface PlanningJob {
  /** The final plan, or the best one when stopped. Rejects when the worker fails. */
  result: Promise<Plan>
  /** Asks for the best plan so far; the worker is ended after a grace of two seconds. */
  stop(): void
}

/** Plans a works in a worker thread, so that the caller stays alive. */
export function startPlanning(_input: PlanInput, _options: PlanningOptions): PlanningJob {
  throw new Error('not built yet')
}
