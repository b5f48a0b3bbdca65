import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { planGreedily } from './greedy.ts'

/** First fit decreasing: the first place that is long enough, remnants before drums, drums as they are listed. */
export function firstFitDecreasing(input: PlanInput): Plan {
  return planGreedily(input, (rooms) => rooms[0]!)
}
