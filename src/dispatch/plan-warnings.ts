import { counterCorrection } from '../measure/counter-correction.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { guardWarning } from './guard-warning.ts'
import { guardText } from './run-warnings.ts'

/** What is doubtful about a plan as a whole, a sentence each: lines whose length guard their counter's checks do not bear out. */
export function planWarnings(input: PlanInput, plan: Plan): string[] {
  return input.site.lines.flatMap((line) => {
    const warning = guardWarning(line.id, input, plan, counterCorrection(line.id, input.counterChecks))
    return warning ? [guardText(warning)] : []
  })
}
