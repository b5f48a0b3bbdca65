import type { LengthUm } from '../quantity/length.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import { type Fillable, type Place, placeTakes } from './drum-model.ts'
import { bulkCutUm, declaredOfCutUm, type Item, type PutupOption } from './item.ts'
import { byPutup, type Offered, type Taken } from './stretch-fill.ts'
import { SLACK_UM } from './tally.ts'

/** Pieces of one length that may be cut shorter than ordered are offered shorter this often; the others in full. */
const MOST_SHORTER = 4

/** Prices and caps of the items, by item number. */
export interface Market {
  /** What one piece earns, micro-euro. */
  prices: Float64Array
  /** Pieces still wanted; of a piece in parts, the share still missing. */
  caps: Float64Array
  /** Parts still allowed of a piece in parts. */
  partsLeft: Float64Array
}

/** What may be laid in a stretch at a place, by put-up. */
export function offeredIn(
  items: Item[],
  place: Place,
  stretch: Fillable,
  market: Market,
  rules: CutRules,
): Offered[] {
  const lengthUm = stretch.toUm - stretch.fromUm
  const offered: Offered[] = []
  for (const item of items) {
    const cap = market.caps[item.index]!
    const price = market.prices[item.index]!
    if (cap <= 1e-9 || price <= 0 || !stretch.allowed[item.index]) continue
    const options = [...item.options.entries()].filter(
      ([, o]) => price > o.costMicro && placeTakes(place, item, o.putup),
    )
    if (item.split)
      offered.push(...partOffer(item, options, price, cap, market.partsLeft[item.index]!, lengthUm, rules))
    else
      for (const [option, choice] of options)
        offered.push(...wholeOffers(item, option, choice, price, cap, lengthUm, rules))
  }
  return byPutup(offered)
}

/** A piece in full, and where its minus tolerance allows it, shorter ones too: what they forgo is reckoned. */
function wholeOffers(
  item: Item,
  option: number,
  { group, costMicro, mostDeclaredUm }: PutupOption,
  price: number,
  cap: number,
  lengthUm: LengthUm,
  { lengthGuardRatio, pieceTrimUm }: CutRules,
): Offered[] {
  const base = { item: item.index, option, group }
  const offers: Offered[] = []
  if (item.cutUm <= lengthUm && mostDeclaredUm >= item.declaredUm)
    offers.push({ ...base, cap, cutUm: item.cutUm, profit: price - costMicro, shrink: null })
  if (!item.shortest || item.shortest.cutUm > lengthUm) return offers
  const holdsUm = bulkCutUm(Math.min(item.declaredUm, mostDeclaredUm), lengthGuardRatio, pieceTrimUm)
  const cutUm = Math.min(lengthUm, item.cutUm, holdsUm)
  const lossPerUm = item.creditMicro / item.declaredUm / (1 + lengthGuardRatio)
  const profit = price - costMicro - (item.cutUm - cutUm) * lossPerUm
  const shrink = { leastCutUm: item.shortest.cutUm, lossPerUm }
  if (profit > 0) offers.push({ ...base, cap: Math.min(cap, MOST_SHORTER), cutUm, profit, shrink })
  return offers
}

/**
 * A piece that may come in parts: equal ones, where no put-up holds it whole and all of them fit. Otherwise one part: all that is still missing where that fits, else as much as leaves a part that is
 * long enough; on the put-up that takes most of it, the cheaper of equals.
 */
function partOffer(
  item: Item,
  options: [number, PutupOption][],
  price: number,
  missing: number,
  partsLeft: number,
  lengthUm: LengthUm,
  { lengthGuardRatio, pieceTrimUm }: CutRules,
): Offered[] {
  const cut = (declaredUm: LengthUm) => bulkCutUm(declaredUm, lengthGuardRatio, pieceTrimUm)
  const missingUm = Math.ceil(missing * item.declaredUm - 0.5)
  const fitsUm = declaredOfCutUm(lengthUm, lengthGuardRatio, pieceTrimUm)
  const perUm = price / item.declaredUm / (1 + lengthGuardRatio)
  const equal = equalParts(item, options, missingUm, partsLeft)
  const offerOf = (option: number, declaredUm: LengthUm, cap: number, shrink: Offered['shrink']): Offered => {
    const { group, costMicro } = item.options[option]!
    const cutUm = cut(declaredUm)
    const profit = (cutUm - pieceTrimUm) * perUm - costMicro
    return { item: item.index, option, group, cap, cutUm, profit, shrink }
  }
  if (equal && equal.count * cut(equal.eachUm) <= lengthUm)
    return [offerOf(equal.option, equal.eachUm, equal.count, null)]
  let best: { option: number; choice: PutupOption; leastUm: LengthUm; mostUm: LengthUm } | null = null
  for (const [option, choice] of options) {
    // what is missing may be less than a part must be, where the others were cut longer than they had to be
    const whole =
      missingUm <= Math.min(fitsUm, choice.mostDeclaredUm) && missingUm >= item.split!.minUm - SLACK_UM
    const mostUm = whole ? missingUm : Math.min(fitsUm, choice.mostDeclaredUm, missingUm - item.split!.minUm)
    const leastUm = whole ? missingUm : item.split!.minUm
    if (mostUm < leastUm || (!whole && partsLeft < 2)) continue
    const better =
      !best || mostUm > best.mostUm || (mostUm === best.mostUm && choice.costMicro < best.choice.costMicro)
    if (better) best = { option, choice, leastUm, mostUm }
  }
  if (!best) return []
  const shrink = best.leastUm === best.mostUm ? null : { leastCutUm: cut(best.leastUm), lossPerUm: perUm }
  return [offerOf(best.option, best.mostUm, 1, shrink)]
}

/**
 * Equal parts, as few as may be, of a piece that no put-up holds whole: side by side in one stretch, where nothing else calls for
 * this length or that. null where a put-up holds it, or its parts would be too many or too short.
 */
function equalParts(
  item: Item,
  options: [number, PutupOption][],
  missingUm: LengthUm,
  partsLeft: number,
): { option: number; count: number; eachUm: LengthUm } | null {
  if (!item.split || options.some(([, o]) => o.mostDeclaredUm >= missingUm)) return null
  for (let count = 2; count <= partsLeft; count++) {
    const eachUm = Math.ceil(missingUm / count)
    if (eachUm < item.split.minUm) return null
    const holding = options.filter(([, o]) => o.mostDeclaredUm >= eachUm)
    const [first] = holding.sort(([, a], [, b]) => a.costMicro - b.costMicro)
    // rounded up they come to a little more than was ordered
    if (first && count * eachUm - missingUm <= SLACK_UM) return { option: first[0], count, eachUm }
  }
  return null
}

/** Drops pieces beyond what is wanted, which are taken where an item was offered in more than one way: the dearest way first. */
export function trimmed(items: Item[], taken: Taken[], caps: Float64Array): Taken[] {
  const byItem = new Map<number, number>()
  for (const t of taken) byItem.set(t.item, (byItem.get(t.item) ?? 0) + t.count)
  if ([...byItem].every(([item, count]) => items[item]!.split || count <= caps[item]!)) return taken
  const costOf = (t: Taken) => items[t.item]!.options[t.option]!.costMicro
  const kept: Taken[] = []
  for (const t of [...taken].sort((a, b) => costOf(a) - costOf(b) || b.cutUm - a.cutUm)) {
    const already = kept.reduce((sum, k) => sum + (k.item === t.item ? k.count : 0), 0)
    const count = items[t.item]!.split
      ? t.count
      : Math.min(t.count, Math.floor(caps[t.item]! - already + 1e-9))
    if (count > 0) kept.push({ ...t, count })
  }
  return kept
}
