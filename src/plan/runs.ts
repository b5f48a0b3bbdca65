import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import { bulkCutUm, declaredOfCutUm, type Item, sideBySideUm } from './item.ts'
import type { Taken } from './stretch-fill.ts'

/** Pieces alike, one after the other. */
export interface Run {
  item: number
  option: number
  group: number
  count: number
  /** Each; of leads the most that one takes. */
  cutUm: LengthUm
  /** All together. */
  lengthUm: LengthUm
  declaredUm: LengthUm
}

/** Length that these pieces take together. */
export function takenUm(items: Item[], taken: Taken[]): LengthUm {
  let sum = 0
  for (const { item, count, cutUm } of taken) sum += sideBySideUm(items[item]!, count, cutUm)
  return sum
}

/** The pieces of a stretch; those that were cut shorter than ordered grow as long as there is room. */
export function runsOf(catalog: Catalog, items: Item[], taken: Taken[], roomUm: LengthUm): Run[] {
  const runs: Run[] = []
  let leftUm = roomUm
  for (const { item: index, option, group, count, cutUm } of taken) {
    const item = items[index]!
    if (!item.shortest || cutUm >= item.cutUm) {
      const declaredUm = item.split ? declaredOf(catalog, item, option, cutUm) : item.declaredUm
      const lengthUm = sideBySideUm(item, count, cutUm)
      runs.push({ item: index, option, group, count, cutUm, lengthUm, declaredUm })
      continue
    }
    const holdsUm = mostCutUm(catalog, item, option)
    for (let n = 0; n < count; n++) {
      // what would be scrap is better given to a piece that is short of what was ordered
      const lengthUm = cutUm + Math.max(0, Math.min(leftUm, holdsUm - cutUm))
      leftUm -= lengthUm - cutUm
      const declaredUm = lengthUm < item.cutUm ? declaredOf(catalog, item, option, lengthUm) : item.declaredUm
      runs.push({ item: index, option, group, count: 1, cutUm: lengthUm, lengthUm, declaredUm })
    }
  }
  return runs
}

/** What can be declared of a piece that is cut in this length. */
function declaredOf(catalog: Catalog, item: Item, option: number, cutUm: LengthUm): LengthUm {
  const { lengthGuardRatio, pieceTrimUm } = catalog.input.site.cutRules
  const mostUm = Math.min(item.declaredUm, item.options[option]!.mostDeclaredUm)
  return Math.min(mostUm, declaredOfCutUm(cutUm, lengthGuardRatio, pieceTrimUm))
}

/** The longest that a piece is cut for a put-up. */
function mostCutUm(catalog: Catalog, item: Item, option: number): LengthUm {
  const { lengthGuardRatio, pieceTrimUm } = catalog.input.site.cutRules
  return bulkCutUm(
    Math.min(item.declaredUm, item.options[option]!.mostDeclaredUm),
    lengthGuardRatio,
    pieceTrimUm,
  )
}

/** What each piece of a run takes: of leads, the whole micrometre that brings it up to what all of them up to it need. */
export function cutsUm(items: Item[], { item, count, cutUm }: Run): LengthUm[] {
  const upTo = (n: number) => sideBySideUm(items[item]!, n, cutUm)
  return Array.from({ length: count }, (_, n) => upTo(n + 1) - upTo(n))
}

/** The same pieces, together shorter by so much, where the minus tolerance lets them be; null where it does not. */
export function shrunkBy(catalog: Catalog, items: Item[], runs: Run[], byUm: LengthUm): Run[] | null {
  const shrunk: Run[] = []
  let leftUm = byUm
  for (const run of runs) {
    const leastUm = items[run.item]!.shortest?.cutUm ?? run.cutUm
    let { count } = run
    for (; count > 0 && leftUm > 0 && leastUm < run.cutUm; count--) {
      const cutUm = Math.max(leastUm, run.cutUm - leftUm)
      leftUm -= run.cutUm - cutUm
      const declaredUm = declaredOf(catalog, items[run.item]!, run.option, cutUm)
      shrunk.push({ ...run, count: 1, cutUm, lengthUm: cutUm, declaredUm })
    }
    if (count === run.count) shrunk.push(run)
    else if (count > 0) shrunk.push({ ...run, count, lengthUm: count * run.cutUm })
  }
  return leftUm > 0 ? null : shrunk
}
