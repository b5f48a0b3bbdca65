import { expect, it } from 'vitest'
import { freeBranching } from '../../src/plan/branching.ts'
import { catalogOf } from '../../src/plan/catalog.ts'
import { countPrices } from '../../src/plan/count-prices.ts'
import type { Duals } from '../../src/plan/duals.ts'
import { typeInstances } from '../../src/plan/instance.ts'
import { Master } from '../../src/plan/master.ts'
import { RelaxedPricer } from '../../src/plan/relaxed-pricing.ts'
import { plainServiceBound } from '../../src/plan/service-bound.ts'
import { highsEngine } from '../../src/solver/highs-engine.ts'
import { kelderwick } from './kelderwick-input.ts'

const EFFORT = { cells: 2048, nodes: 1 }

it('the prices of the program of counts prove more than the value of the material does, for every type', async () => {
  const catalog = catalogOf(kelderwick())
  const engine = await highsEngine()
  const types = typeInstances(catalog).filter((type) => type.drums.length > 0)
  expect(types.length).toBeGreaterThan(5)
  for (const type of types) {
    const unservedMicro = plainServiceBound(type)
    const master = new Master(type, engine)
    const pricer = new RelaxedPricer(catalog, type.items)
    const free = freeBranching(type.drums.length)
    const proven = (duals: Duals) =>
      master.bound(pricer, duals, unservedMicro, EFFORT, free, () => false)!.boundMicro
    const counted = countPrices(catalog, type, engine, unservedMicro)
    const material: Duals = {
      items: Float64Array.from(type.items, (item) => item.creditMicro),
      lots: new Map(),
      lines: new Map(),
      counts: new Map(),
      service: 0,
    }
    expect(proven(counted!), type.cable.cable).toBeGreaterThan(proven(material))
    master.dispose()
  }
})

it('a type too large for the program has no such prices', async () => {
  const catalog = catalogOf(kelderwick())
  const [type] = typeInstances(catalog)
  const many = { ...type!, drums: Array.from({ length: 1000 }, () => type!.drums[0]!) }
  expect(countPrices(catalog, many, await highsEngine(), 0)).toBeNull()
})
