import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { type Choice, planGreedily } from './greedy.ts'

/** Longest first, best fit: remnants before drums, and among them the place that leaves least over. */
export function longestFirstBestFit(input: PlanInput): Plan {
  return planGreedily(input, bestFit)
}

const bestFit: Choice = (rooms, lengthUm) => {
  const remnants = rooms.filter((r) => r.drum.usable.drum.kind === 'remnant')
  const leftUm = (r: { fromUm: number; toUm: number }) => r.toUm - r.fromUm - lengthUm
  return (remnants.length > 0 ? remnants : rooms).reduce((a, b) => (leftUm(b) < leftUm(a) ? b : a))
}
