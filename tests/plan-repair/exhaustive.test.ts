import { afterAll, describe, expect, it } from 'vitest'
import { seededRandom } from '../../bench/generate/random.ts'
import { verifyClaims } from '../../src/plan/verify.ts'
import { bestOfAll } from '../plan/best-of-all.ts'
import { tinyWorks } from '../plan/tiny-works.ts'
import { foundFault, mended, planOf, withFault } from './mended.ts'

const PER_TEST = 10
/** Trying every plan takes long on a busy machine. */
const MOST_MS = 300_000
/** Micro-euro by which a sum over pieces may differ from the same sum over lines. */
const ROUNDING_MICRO = 10

const seen = { works: 0, mostServed: 0, optimal: 0, worse: 0 }

/** The best plan there is, a fault found, and the best plan there is then: all plans are tried. */
function check(seed: number): void {
  const before = tinyWorks(seed)
  const best = bestOfAll(before)
  const old = planOf(before, best.mountings)
  const random = seededRandom(seed)
  const after = withFault(
    before,
    foundFault(before, random.pick(before.drums).drum, random.decimal(0.05, 0.95, 3)),
  )
  const { plan } = mended(after, old)
  const then = bestOfAll(after).verdict
  expect(verifyClaims(after, plan).broken, after.folder).toEqual([])
  expect(plan.bound.unservedMicro, after.folder).toBeLessThanOrEqual(then.unservedMicro + ROUNDING_MICRO)
  const servesAsMuch = Math.abs(plan.unservedMicro - then.unservedMicro) <= ROUNDING_MICRO
  if (servesAsMuch) expect(plan.bound.costMicro, after.folder).toBeLessThanOrEqual(then.costMicro)
  // parts may be of any length: of those not every plan is tried
  const parts = after.orders.some((o) => !o.singleLength)
  const better = plan.unservedMicro < then.unservedMicro - ROUNDING_MICRO
  expect(better && !parts, after.folder).toBe(false)
  seen.works++
  if (servesAsMuch || better) seen.mostServed++
  if (better || (servesAsMuch && plan.costMicro <= then.costMicro)) seen.optimal++
  // service may sink only where it has to
  if (plan.unservedMicro > old.unservedMicro + ROUNDING_MICRO && !servesAsMuch && !better) seen.worse++
}

describe('a fault found in a works so small that every plan can be tried', () => {
  it.each([1, 11, 21, 31, 41, 51])(
    'ten works from number %i',
    (start) => {
      for (let seed = start; seed < start + PER_TEST; seed++) check(seed)
    },
    MOST_MS,
  )

  it('the repaired plan mostly serves the most there is to serve, at the least cost', () => {
    expect(seen.mostServed / seen.works).toBeGreaterThan(0.9)
    expect(seen.optimal / seen.works).toBeGreaterThan(0.6)
  })

  afterAll(() => {
    process.stdout.write(
      `of ${seen.works} repairs ${seen.mostServed} serve the most there is to serve, ${seen.optimal} of them at the least cost; ${seen.worse} served less than before without need\n`,
    )
  })
})
