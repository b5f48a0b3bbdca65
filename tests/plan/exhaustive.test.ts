import { afterAll, describe, expect, it } from 'vitest'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import { bestOfAll } from './best-of-all.ts'
import { deepWorks, overfullGap, shortRest } from './deep-works.ts'
import { planned } from './planned.ts'
import { tinyWorks } from './tiny-works.ts'

const CLOCK_SECONDS = 3
const PER_TEST = 10

/** Works that once had a bound above their best plan, or a plan that broke a rule. */
const CAUGHT: [what: string, works: () => PlanInput][] = [
  ['a rest that is 50 m only with the inner end loss is no short rest', shortRest],
  ['one length wound off across a fault', () => tinyWorks(266)],
  ['one length wound off across two faults', () => deepWorks(44)],
  ['a wind-off between two put-ups saves their change', () => deepWorks(60)],
  ['a wind-off between two pieces of one stretch saves their change', () => deepWorks(19)],
  ['no more is wound off than the put-up holds', overfullGap],
  ['a piece given back its length beyond what its put-up holds', () => tinyWorks(112)],
  ['the same with two put-ups to choose from', () => tinyWorks(13)],
  ['the last part of a piece with two put-ups to choose from', () => tinyWorks(610)],
  ['the pieces of a line rounded one by one', () => tinyWorks(122)],
]

/** Micro-euro by which a sum over pieces may differ from the same sum over lines. */
const ROUNDING_MICRO = 10

const seen = { works: 0, mostServed: 0, optimal: 0 }

async function check(works: PlanInput): Promise<void> {
  const best = bestOfAll(works).verdict
  const plan = await planned(works, CLOCK_SECONDS)
  expect(verifyClaims(works, plan).broken, works.folder).toEqual([])
  // no plan serves more than the bound says, and none that serves as much costs less
  expect(plan.bound.unservedMicro, works.folder).toBeLessThanOrEqual(best.unservedMicro + ROUNDING_MICRO)
  const servesAsMuch = Math.abs(plan.unservedMicro - best.unservedMicro) <= ROUNDING_MICRO
  if (servesAsMuch) expect(plan.bound.costMicro, works.folder).toBeLessThanOrEqual(best.costMicro)
  // parts may be of any length: of those not every plan is tried, so the planner may do better
  const parts = works.orders.some((o) => !o.singleLength)
  const better = plan.unservedMicro < best.unservedMicro - ROUNDING_MICRO
  expect(better && !parts, works.folder).toBe(false)
  seen.works++
  if (servesAsMuch || better) seen.mostServed++
  if (better || (servesAsMuch && plan.costMicro <= best.costMicro)) seen.optimal++
}

async function checkTen(worksOf: (seed: number) => PlanInput, start: number): Promise<void> {
  for (let seed = start; seed < start + PER_TEST; seed++) await check(worksOf(seed))
}

describe('works so small that every plan can be tried: the plan obeys every rule, its bounds lie above no plan', () => {
  it.each([1, 11, 21, 31, 41, 51])('ten mixed works from number %i', (start) => checkTen(tinyWorks, start))

  it.each([1, 11])('ten works with stock behind faults from number %i', (start) => checkTen(deepWorks, start))

  it.each(CAUGHT)('%s', (_, works) => check(works()))

  it('most plans are the best there are', () => {
    expect(seen.mostServed / seen.works).toBeGreaterThan(0.85)
    expect(seen.optimal / seen.works).toBeGreaterThan(0.6)
  })

  afterAll(() => {
    process.stdout.write(
      `of ${seen.works} tiny works ${seen.mostServed} plans serve the most there is to serve, ${seen.optimal} of them at the least cost\n`,
    )
  })
})
