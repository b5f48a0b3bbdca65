import { expect, it } from 'vitest'
import { generateWorks, LARGE } from '../../bench/generate-works.ts'
import { freeBranching } from '../../src/plan/branching.ts'
import { catalogOf } from '../../src/plan/catalog.ts'
import { countPrices } from '../../src/plan/count-prices.ts'
import type { Duals } from '../../src/plan/duals.ts'
import { typeInstances } from '../../src/plan/instance.ts'
import { likelyPrices } from '../../src/plan/likely-prices.ts'
import { Master } from '../../src/plan/master.ts'
import { seededRandom } from '../../src/plan/random.ts'
import { RelaxedPricer } from '../../src/plan/relaxed-pricing.ts'
import { TypeSearch } from '../../src/plan/type-search.ts'
import { highsEngine } from '../../src/solver/highs-engine.ts'

const FINE = { cells: 8192, nodes: 1 }

it('prices that settled on a coarse grid prove more on a fine one than those they began with, if lengths were rounded to the nearest', async () => {
  const catalog = catalogOf(generateWorks({ ...LARGE, types: 1, hopeless: 0 }).works)
  const engine = await highsEngine()
  const [type] = typeInstances(catalog)
  expect(type!.drums.length).toBeGreaterThan(10)
  const { patterns, unservedMicro, costMicro } = new TypeSearch(catalog, type!, seededRandom(1)).sweep(
    0.5,
    () => false,
  )
  const branching = freeBranching(type!.drums.length)
  const newMaster = () => {
    const master = new Master(type!, engine)
    master.setService(unservedMicro)
    for (const pattern of patterns) master.addPattern(pattern)
    return master
  }
  const fine = newMaster()
  const pricer = new RelaxedPricer(catalog, type!.items)
  const proven = (duals: Duals) =>
    fine.bound(pricer, duals, unservedMicro, FINE, branching, () => false)!.boundMicro
  const counted = countPrices(catalog, type!, engine, unservedMicro)!
  const likely = (pricer: RelaxedPricer, over = false) => {
    const master = newMaster()
    const found = likelyPrices(master, pricer, counted, { branching, unservedMicro }, () => over)
    master.dispose()
    return found
  }
  const settled = proven(likely(new RelaxedPricer(catalog, type!.items, true))!)
  expect(settled).toBeGreaterThan(proven(counted))
  expect(settled).toBeLessThan(costMicro)
  // the reason why lengths are rounded to the nearest cell there
  expect(settled).toBeGreaterThan(proven(likely(new RelaxedPricer(catalog, type!.items))!))
  expect(likely(new RelaxedPricer(catalog, type!.items, true), true)).toBeNull()
  fine.dispose()
})
