import type { Plan } from '../plan/plan.ts'
import type { PlanRow } from '../store/tables.ts'

/** A plan with its row in the store. */
export interface StoredPlan {
  row: PlanRow
  plan: Plan
}

/** A plan as it was stored. Nothing proven is minus infinity, for which JSON has no figure but null. */
export function planOfJson(text: string): Plan {
  const plan = JSON.parse(text) as Plan
  const { bound, byCable } = plan
  return {
    ...plan,
    bound: { ...bound, costMicro: bound.costMicro ?? Number.NEGATIVE_INFINITY },
    byCable: byCable.map((b) => ({ ...b, boundMicro: b.boundMicro ?? Number.NEGATIVE_INFINITY })),
  }
}
