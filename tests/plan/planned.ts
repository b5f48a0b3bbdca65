import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { planWorks } from '../../src/solver/plan-works.ts'

/** Plans with a clock that goes on a millisecond each time it is looked at, so that a busy machine plans no worse. */
export function planned(input: PlanInput, clockSeconds: number, seed = 1): Promise<Plan> {
  let nowMs = 0
  return planWorks(input, {
    seconds: clockSeconds,
    seed,
    nowMs: () => nowMs++,
    stopped: () => false,
    onProgress: () => undefined,
  })
}
