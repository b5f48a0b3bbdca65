import type { LengthUm } from '../quantity/length.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import type { Fillable } from './drum-model.ts'
import { bulkCutUm, type Item, leastCutUm, type PutupOption } from './item.ts'
import { type PlaceSet, setTakes } from './place-set.ts'
import { byPutup, type Offered, type Taken } from './stretch-fill.ts'

function optionsOf(item: Item, set: PlaceSet, price: number): [number, PutupOption][] {
  return [...item.options.entries()].filter(([, o]) => price > o.costMicro && setTakes(set, item, o.putup))
}

/** What may lie in one stretch, no copy more than it holds. */
export function offeredApart(
  items: Item[],
  set: PlaceSet,
  stretch: Fillable,
  prices: Float64Array,
  caps: Float64Array,
  rules: CutRules,
): Offered[] {
  const lengthUm = stretch.toUm - stretch.fromUm
  const offered: Offered[] = []
  for (const item of items) {
    const price = prices[item.index]!
    const cap = Math.min(caps[item.index]!, item.demand)
    if (cap <= 1e-9 || price <= 0 || !stretch.allowed[item.index]) continue
    const copies = Math.min(cap, Math.floor(lengthUm / leastCutUm(item)))
    if (copies > 0)
      for (const [option, choice] of optionsOf(item, set, price))
        pushOffer(offered, item, option, choice, price, copies, lengthUm, rules)
  }
  return byPutup(offered)
}

/** What may lie in all stretches together, no copy more than they hold one by one. */
export function offeredJoined(
  items: Item[],
  set: PlaceSet,
  stretches: Fillable[],
  prices: Float64Array,
  caps: Float64Array,
  rules: CutRules,
): Offered[] {
  const offered: Offered[] = []
  for (const item of items) {
    const price = prices[item.index]!
    if (caps[item.index]! <= 1e-9 || price <= 0) continue
    const lengths = stretches.filter((s) => s.allowed[item.index]).map((s) => s.toUm - s.fromUm)
    const copies = lengths.reduce((sum, l) => sum + Math.floor(l / leastCutUm(item)), 0)
    const cap = Math.min(caps[item.index]!, copies)
    if (cap <= 0) continue
    // the parts of one piece may as well be one part here
    const mostUm = item.split || item.loose ? lengths.reduce((a, b) => a + b, 0) : Math.max(...lengths)
    for (const [option, choice] of optionsOf(item, set, price))
      pushOffer(offered, item, option, choice, price, cap, mostUm, rules)
  }
  return byPutup(offered)
}

function pushOffer(
  offered: Offered[],
  item: Item,
  option: number,
  { group, costMicro, mostDeclaredUm }: PutupOption,
  price: number,
  cap: number,
  lengthUm: LengthUm,
  { lengthGuardRatio, pieceTrimUm }: CutRules,
): void {
  const base = { item: item.index, option, group }
  if (item.loose) {
    offered.push({ ...base, ...looseOffer(item, price, lengthUm) })
  } else if (item.split) {
    const perUm = price / item.declaredUm / (1 + lengthGuardRatio)
    const leastUm = bulkCutUm(item.split.minUm, lengthGuardRatio, pieceTrimUm) - 1
    const cutUm = Math.min(lengthUm, item.cutUm)
    if (leastUm > cutUm) return
    // rounding of declared lengths may make the share of a whole piece exceed one by a hair
    const profit = Math.ceil((cutUm - pieceTrimUm) * perUm - costMicro) + 1
    // parts of one piece in one stretch may as well be one part, were there a put-up for it
    offered.push({ ...base, cap: 1, cutUm, profit, shrink: { leastCutUm: leastUm, lossPerUm: perUm } })
  } else if (item.shortest) {
    const mostUm = bulkCutUm(Math.min(item.declaredUm, mostDeclaredUm), lengthGuardRatio, pieceTrimUm)
    const cutUm = Math.min(lengthUm, mostUm)
    const leastUm = item.shortest.cutUm - 1
    if (leastUm > cutUm) return
    // what a shorter piece forgoes is rounded down
    const lossPerUm =
      Math.max(0, item.creditMicro - 1) / item.declaredUm / (1 + lengthGuardRatio) / (1 + 1e-9)
    const profit = Math.ceil(price - costMicro - (item.cutUm - cutUm) * lossPerUm) + 1
    offered.push({ ...base, cap, cutUm, profit, shrink: { leastCutUm: leastUm, lossPerUm } })
  } else if (item.cutUm <= lengthUm && mostDeclaredUm >= item.declaredUm)
    offered.push({ ...base, cap, cutUm: item.cutUm, profit: Math.ceil(price - costMicro), shrink: null })
}

/** Any length of a loose item, at the rate of a whole piece with the least that its tolerance asks for. */
export function looseOffer(
  item: Item,
  price: number,
  lengthUm: LengthUm,
): Pick<Offered, 'cap' | 'cutUm' | 'profit' | 'shrink'> {
  const tolMinusPct = Math.max(...item.lines.map((l) => l.order.tolMinusPct ?? 0))
  const perUm = price / (item.declaredUm * (1 - tolMinusPct / 100))
  return {
    cap: 1,
    cutUm: lengthUm,
    profit: Math.ceil(lengthUm * perUm) + 1,
    shrink: { leastCutUm: 0, lossPerUm: perUm },
  }
}

/** Pieces taken by item; a piece in parts by its share. */
export function amountsOf(items: Item[], taken: Taken[], { pieceTrimUm }: CutRules): Map<number, number> {
  const amounts = new Map<number, number>()
  for (const t of taken) {
    const item = items[t.item]!
    const whole = item.split ? item.cutUm - pieceTrimUm : (item.shortest?.cutUm ?? item.cutUm)
    const part = item.split ? Math.max(0, t.cutUm - pieceTrimUm) : t.cutUm
    const share = item.loose ? part / whole : Math.min(1, part / whole)
    amounts.set(t.item, (amounts.get(t.item) ?? 0) + share * t.count)
  }
  return amounts
}
