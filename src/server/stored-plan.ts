import type { Plan } from '../plan/plan.ts'
import type { PlanRow } from '../store/tables.ts'

/** A plan with its row in the store. */
export interface StoredPlan {
  row: PlanRow
  plan: Plan
}
