import { expect, it } from 'vitest'
import { shownStep } from '../../src/server/shown-progress.ts'
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
