import { guardShortfallRatio } from '../line/guard-shortfall.ts'
import type { CounterCorrection } from '../measure/counter-correction.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'

/** What it could cost over a plan that a line's length guard is smaller than two standard errors of its counter checks. */
export interface GuardWarning {
  line: string
  guardRatio: number
  twoStandardErrorsRatio: number
  /** Bulk metres that the plan declares on this line. */
  deliveredUm: LengthUm
  /** How much of it could be missing, and its material value. */
  shortUm: LengthUm
  shortMicro: MicroEur
}

/** null where the guard is wide enough, or nothing is known of the counter. */
export function guardWarning(
  line: string,
  input: PlanInput,
  plan: Pick<Plan, 'mountings'>,
  correction: CounterCorrection | null,
): GuardWarning | null {
  const guardRatio = input.site.cutRules.lengthGuardRatio
  const shortfallRatio = guardShortfallRatio(guardRatio, correction)
  if (!correction || !shortfallRatio) return null
  const cableOf = new Map(input.drums.map((d) => [d.drum, d.cable]))
  let deliveredUm = 0
  let shortUm = 0
  let shortMicro = 0
  for (const mounting of plan.mountings) {
    if (mounting.line !== line) continue
    const eurM = input.costs.materialCostEurM[cableOf.get(mounting.drum) ?? ''] ?? 0
    for (const interval of mounting.intervals) {
      if (interval.use !== 'piece' || interval.putup === null) continue
      const missingUm = Math.ceil(interval.declaredUm * shortfallRatio)
      deliveredUm += interval.declaredUm
      shortUm += missingUm
      shortMicro += microFromEur((missingUm / 1e6) * eurM)
    }
  }
  const twoStandardErrorsRatio = 2 * correction.standardErrorRatio
  return { line, guardRatio, twoStandardErrorsRatio, deliveredUm, shortUm, shortMicro }
}
