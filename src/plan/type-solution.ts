import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import { bulkCutUm, declaredOfCutUm, type Item } from './item.ts'
import { layOut, type Pattern } from './pattern.ts'
import { SLACK_UM } from './tally.ts'

/** Patterns for the drums of one cable type, at most one a drum, with what they leave unserved and cost. */
export interface TypeSolution {
  patterns: Pattern[]
  /** Pieces left, by item; of a piece in parts the share that is missing. */
  missing: Float64Array
  unservedMicro: MicroEur
  /** Comparable between solutions: patterns, lines used, and the credit forgone for what is not delivered. */
  costMicro: MicroEur
}

const SHARE_EPSILON = 1e-7

/** Sums up a set of patterns. */
export function solutionOf(instance: TypeInstance, patterns: Pattern[]): TypeSolution {
  const missing = Float64Array.from(instance.items, (i) => i.demand)
  let costMicro = 0
  const lines = new Set<string>()
  for (const pattern of patterns) {
    costMicro += pattern.costMicro
    lines.add(instance.drums[pattern.drum]!.places[pattern.place]!.id)
    for (const [item, amount] of pattern.amounts) missing[item] = missing[item]! - amount
  }
  for (const line of lines) costMicro += instance.lineFixed.get(line) ?? 0
  let unservedMicro = 0
  for (const item of instance.items) {
    if (missing[item.index]! < SHARE_EPSILON) continue
    const pieces = Math.ceil(missing[item.index]! - SHARE_EPSILON)
    unservedMicro += unservedOf(item, pieces)
    costMicro += pieces * item.creditMicro
  }
  return { patterns, missing, unservedMicro, costMicro }
}

/** What leaving so many pieces of an item weighs: the least valuable go first. */
export function unservedOf(item: Item, pieces: number): MicroEur {
  let left = pieces
  let sum = 0
  for (const tier of item.tiers) {
    const n = Math.min(left, tier.pieces)
    sum += n * tier.weightMicro
    left -= n
    if (left <= 0) break
  }
  return sum
}

/** Whether a solution serves more, or as much for less; `slackMicro` more may it cost. */
export function isBetter(a: TypeSolution, b: TypeSolution | null, slackMicro = 0): boolean {
  if (!b) return true
  return (
    a.unservedMicro < b.unservedMicro ||
    (a.unservedMicro === b.unservedMicro && a.costMicro < b.costMicro + slackMicro)
  )
}

/** Takes pieces of an item out of a pattern, from the innermost stretch first; null where nothing is left of it. */
export function without(
  catalog: Catalog,
  instance: TypeInstance,
  pattern: Pattern,
  item: number,
  pieces: number,
): Pattern | null {
  let left = pieces
  const taken = pattern.taken.map((stretch) => stretch.map((t) => ({ ...t })))
  for (let s = taken.length - 1; s >= 0 && left > 0; s--)
    for (const t of taken[s]!) {
      if (t.item !== item) continue
      const n = Math.min(t.count, left)
      t.count -= n
      left -= n
    }
  const kept = taken.map((stretch) => stretch.filter((t) => t.count > 0))
  const model = instance.drums[pattern.drum]!
  return layOut(catalog, instance.items, model, pattern.drum, pattern.place, pattern.division, kept)
}

/** Drops what is given twice and the parts of pieces that did not come together. */
export function tidied(catalog: Catalog, instance: TypeInstance, patterns: Pattern[]): Pattern[] {
  let result = patterns
  const drop = (at: number, item: number, pieces: number) => {
    const less = without(catalog, instance, result[at]!, item, pieces)
    result = less ? result.map((p, i) => (i === at ? less : p)) : result.filter((_, i) => i !== at)
  }
  for (const item of instance.items) {
    const given = () => result.reduce((sum, p) => sum + (p.amounts.get(item.index) ?? 0), 0)
    if (item.split) {
      const parts = result.reduce((sum, p) => sum + (p.parts.get(item.index)?.length ?? 0), 0)
      const tooMany = parts > item.split.maxParts
      const excessUm = Math.round((given() - item.demand) * item.declaredUm)
      if (!tooMany && excessUm > 0) result = shortened(catalog, instance, result, item, excessUm)
      const { minUm } = item.split
      const tooShort = result.some((p) => p.parts.get(item.index)?.some((um) => um < minUm - SLACK_UM))
      const isWhole = Math.abs(given() - item.demand) <= SHARE_EPSILON
      if (tooMany || tooShort || !isWhole)
        for (let at = result.length - 1; at >= 0; at--)
          if (result[at]!.amounts.has(item.index)) drop(at, item.index, Number.MAX_SAFE_INTEGER)
      continue
    }
    for (let at = result.length - 1; at >= 0 && given() > item.demand; at--) {
      const amount = result[at]!.amounts.get(item.index) ?? 0
      if (amount > 0) drop(at, item.index, Math.min(amount, given() - item.demand))
    }
  }
  return result
}

/** Takes what is too much off one part of a piece that comes in parts, where that leaves the part long enough. */
function shortened(
  catalog: Catalog,
  instance: TypeInstance,
  patterns: Pattern[],
  item: Item,
  excessUm: LengthUm,
): Pattern[] {
  const { lengthGuardRatio, pieceTrimUm } = catalog.input.site.cutRules
  for (const [at, pattern] of patterns.entries()) {
    let found = false
    const taken = pattern.taken.map((stretch) =>
      stretch.map((t) => {
        const declaredUm = declaredOfCutUm(t.cutUm, lengthGuardRatio, pieceTrimUm) - excessUm
        if (found || t.item !== item.index || t.count !== 1 || declaredUm < item.split!.minUm) return t
        found = true
        return { ...t, cutUm: bulkCutUm(declaredUm, lengthGuardRatio, pieceTrimUm) }
      }),
    )
    if (!found) continue
    const model = instance.drums[pattern.drum]!
    const less = layOut(catalog, instance.items, model, pattern.drum, pattern.place, pattern.division, taken)
    if (less) return patterns.map((p, i) => (i === at ? less : p))
  }
  return patterns
}
