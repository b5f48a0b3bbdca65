import { describe, expect, it } from 'vitest'
import { generateWorks } from '../../bench/generate-works.ts'
import { catalogOf } from '../../src/plan/catalog.ts'
import { typeInstances } from '../../src/plan/instance.ts'
import { laidIntervals, layOut, layOutCost } from '../../src/plan/pattern.ts'
import { PieceMoves } from '../../src/plan/piece-moves.ts'
import { Standings } from '../../src/plan/piece-standings.ts'
import { seededRandom } from '../../src/plan/random.ts'
import { TypeSearch } from '../../src/plan/type-search.ts'
import { isBetter, solutionOf, type TypeSolution } from '../../src/plan/type-solution.ts'
import { SMALL } from '../plan-referee/works.ts'

const catalog = catalogOf(generateWorks({ ...SMALL, seed: 31 }).works)
const types = typeInstances(catalog).filter((type) => type.drums.length > 0)

/** A plan begun from nothing, and what some walks from it come to. */
function walked(type: (typeof types)[number], seed: number): { first: TypeSolution; then: TypeSolution } {
  const random = seededRandom(seed)
  const search = new TypeSearch(catalog, type, random)
  const moves = new PieceMoves(catalog, type, random)
  const first = search.sweep(0.5, () => false)
  let then = first
  for (let n = 0; n < 4; n++) then = search.consider(moves.run(then, 5_000, () => false))
  return { first, then }
}

describe('walks by moves of pieces', () => {
  for (const type of types)
    it(`make no plan of ${type.cable.cable} worse, and the same again for a seed`, () => {
      const { first, then } = walked(type, 3)
      expect(isBetter(first, then)).toBe(false)
      expect(walked(type, 3).then.costMicro).toBe(then.costMicro)
    })

  it('find more than a first plan does, in all types together', () => {
    const walks = types.map((type) => walked(type, 3))
    const sum = (of: 'first' | 'then') =>
      walks.reduce((all, plans) => all + plans[of].unservedMicro + plans[of].costMicro, 0)
    expect(sum('then')).toBeLessThan(sum('first'))
  })

  it('go on as long as their turn does, and cool with it: ten times as many moves leave less of the cost above the best', () => {
    const costs = [0.1, 1].map((turn) =>
      types.reduce((sum, type) => {
        const random = seededRandom(7)
        const search = new TypeSearch(catalog, type, random)
        const moves = new PieceMoves(catalog, type, random)
        const first = search.sweep(0.5, () => false)
        const { unservedMicro, costMicro } = search.consider(
          moves.run(
            first,
            1_000,
            () => false,
            () => Math.min(1, moves.work / (40_000 * turn)),
          ),
        )
        expect(moves.work).toBeGreaterThanOrEqual(40_000 * turn)
        expect(moves.work).toBeLessThan(40_000 * turn + 1_000)
        return sum + unservedMicro + costMicro
      }, 0),
    )
    expect(costs[1]).toBeLessThan(costs[0]!)
  })

  it('leave mountings that are to stay as they were, the very same, where a change counts for more than it brings', () => {
    const changedAt = (changeMicro: number) =>
      types.reduce((sum, type) => {
        const random = seededRandom(3)
        const first = new TypeSearch(catalog, type, random).sweep(0.5, () => false)
        const patterns = new Map(first.patterns.map((p) => [p.drum, p]))
        const staying = { patterns, broken: new Set<number>(), changeMicro }
        const then = new PieceMoves(catalog, type, random, staying).run(first, 5_000, () => false)
        return sum + then.filter((p) => !first.patterns.includes(p)).length
      }, 0)
    // a million euro
    expect(changedAt(1e12)).toBe(0)
    expect(changedAt(0)).toBeGreaterThan(0)
  })

  it('keep count of lines and lots: from plan to plan, and to none, all stands as if begun there', () => {
    let lotsAsked = 0
    for (const type of types) {
      const { first, then } = walked(type, 5)
      const changed = new Standings(catalog, type, null)
      changed.begin(first)
      for (const plan of [then, solutionOf(type, []), first]) {
        const begun = new Standings(catalog, type, null)
        begun.begin(plan)
        const changes = begun.drums.map((standing, drum) => ({ drum, standing }))
        const beforeMicro = changed.costMicro
        const moreMicro = changed.differenceMicro(changes, begun.missing)
        changed.change(changes, begun.missing)
        expect(changed.costMicro).toBe(begun.costMicro)
        expect(beforeMicro + moreMicro).toBe(begun.costMicro)
        for (const { group } of type.items)
          for (const { usable } of group === null ? [] : type.drums) {
            lotsAsked++
            expect(changed.comesFrom(group!, usable.drum.lot)).toBe(begun.comesFrom(group!, usable.drum.lot))
          }
      }
    }
    expect(lotsAsked).toBeGreaterThan(0)
  })

  it('leave patterns that cost what they say, and lie on their drum from end to end', () => {
    for (const type of types)
      for (const pattern of walked(type, 5).then.patterns) {
        const { drum, place, division, taken, costMicro } = pattern
        const model = type.drums[drum]!
        expect(layOut(catalog, type.items, model, drum, place, division, taken)).toEqual(pattern)
        expect(layOutCost(catalog, type.items, model, pattern)).toBe(costMicro)
        let atUm = 0
        for (const { fromUm, toUm } of laidIntervals(catalog, type.items, model, pattern)) {
          expect(fromUm).toBe(atUm)
          atUm = toUm
        }
        expect(atUm).toBe(model.usable.lengthUm)
      }
  })
})
