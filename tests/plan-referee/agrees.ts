import { expect } from 'vitest'
import type { CostItems, Plan } from '../../src/plan/plan.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import type { Works } from '../../src/works/works.ts'
import { judge } from './referee.ts'

/** The plan obeys every rule, and the referee finds the same figures to the cent. */
export function expectAgreement(works: Works, plan: Plan): void {
  const verdict = verifyPlan(works, plan)
  const judgement = judge(works, plan)
  expect(verdict.broken).toEqual([])
  expect(judgement.broken).toEqual([])
  expectCents(judgement.service.unservedEur, verdict.unservedMicro)
  expectCents(judgement.costEur, verdict.costMicro)
  expectCents(judgement.deliveredEur, verdict.deliveredMicro)
  for (const item of Object.keys(verdict.costItems) as (keyof CostItems)[])
    expectCents(judgement.costItems[item]!, verdict.costItems[item])
  expect(judgement.drumsMounted).toBe(verdict.drumsMounted)
}

/** Both round to cents, one of them a sum of doubles: a cent either way at most. */
function expectCents(eur: number, micro: number): void {
  expect(Math.abs(eur - micro / 1e6)).toBeLessThanOrEqual(0.0101)
}
