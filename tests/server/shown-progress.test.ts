import { expect, it } from 'vitest'
import type { Plan } from '../../src/plan/plan.ts'
import { shownEnd, shownStep } from '../../src/server/shown-progress.ts'
import type { PlanningProgress } from '../../src/solver/start-planning.ts'

it('tells the screens nothing of a bound that is not proven yet', () => {
  const step = {
    phase: 'bound',
    elapsedMs: 12.3,
    unservedMicro: 5_000_000,
    costMicro: 1_000_000,
    boundUnservedMicro: 4_000_000,
    boundCostMicro: Number.NEGATIVE_INFINITY,
    plan: null,
  } as PlanningProgress
  expect(shownStep(step)).toMatchObject({ costEur: 1, boundCostEur: null, boundUnservedEur: 4 })
})

it.each([
  ['as much as all that is delivered', -4_000_000, -4],
  ['more than that', -4_000_001, null],
])('of a bound that leaves %s open', (_, costMicro, shown) => {
  const plan = {
    ...{ unservedMicro: 0, costMicro: 1_000_000, deliveredMicro: 5_000_000 },
    bound: { unservedMicro: 0, costMicro },
  } as Plan
  expect(shownEnd(plan).boundCostEur).toBe(shown)
})
