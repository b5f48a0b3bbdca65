import { describe, expect, it } from 'vitest'
import { catalogOf } from '../../src/plan/catalog.ts'
import { typeInstances } from '../../src/plan/instance.ts'
import { mostServed } from '../../src/plan/most-served.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { solutionOf, tidied } from '../../src/plan/type-solution.ts'
import { highsEngine } from '../../src/solver/highs-engine.ts'
import { bestOfAll } from './best-of-all.ts'
import { tinyWorks } from './tiny-works.ts'

const PER_TEST = 40
const STARTS = [1, 41, 81]
/** Micro-euro by which a sum over pieces may differ from the same sum over lines. */
const ROUNDING_MICRO = 10
const LIMIT = { seconds: 60, nodes: 10_000 }

async function served(works: PlanInput) {
  const catalog = catalogOf(works)
  const [type] = typeInstances(catalog)
  const found = mostServed(catalog, type!, await highsEngine(), LIMIT)
  const solution = found && solutionOf(type!, tidied(catalog, type!, found.patterns))
  return { best: found?.best, unservedMicro: solution?.unservedMicro }
}

describe('what serves most', () => {
  it.each(STARTS)('leaves as little as the best of all plans, from works %i', async (start) => {
    let short = 0
    for (let seed = start; seed < start + PER_TEST; seed++) {
      const works = tinyWorks(seed)
      const all = bestOfAll(works).verdict.unservedMicro
      const { best, unservedMicro } = await served(works)
      expect(best, works.folder).toBe(true)
      expect(Math.abs(unservedMicro! - all), works.folder).toBeLessThanOrEqual(ROUNDING_MICRO)
      if (all > 0) short++
    }
    expect(short).toBeGreaterThan(3)
  })
})
