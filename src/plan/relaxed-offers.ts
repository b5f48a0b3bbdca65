import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import type { Relaxed } from './drum-model.ts'
import { barestCutUm, bulkCutUm, type Item, leastCutUm, type PutupOption } from './item.ts'
import { type PlaceSet, setTakes } from './place-set.ts'
import { byPutup, type Offered, type Taken } from './stretch-fill.ts'

/**
 * What may lie in a stretch, as far as prices and caps do not matter: a piece earns its price times `share`, less `costMicro`,
 * and one that may be shorter forgoes its price times `lossShare` and `lossMicro` for each micrometre.
 */
export interface OfferShape {
  item: number
  option: number
  group: number
  /** No more copies than the stretches hold one by one. */
  copies: number
  cutUm: LengthUm
  share: number
  costMicro: MicroEur
  /** Covers what rounding of lengths may add to the share of a whole piece. */
  spareMicro: MicroEur
  /** What a piece pays at least to be offered at all. */
  leastPriceMicro: MicroEur
  shrink: { leastCutUm: LengthUm; lossShare: number; lossMicro: number } | null
}

/** What may lie in one stretch, put-up by put-up. */
export function shapesApart(items: Item[], set: PlaceSet, stretch: Relaxed, rules: CutRules): OfferShape[] {
  const lengthUm = stretch.toUm - stretch.fromUm
  return byPutup(
    items.flatMap((item) =>
      stretch.allowed[item.index]
        ? shapesOf(item, set, stretch.mostCopies[item.index]!, lengthUm, rules)
        : [],
    ),
  )
}

/** What may lie in all stretches together, put-up by put-up. */
export function shapesJoined(
  items: Item[],
  set: PlaceSet,
  stretches: Relaxed[],
  rules: CutRules,
): OfferShape[] {
  return byPutup(
    items.flatMap((item) => {
      const within = stretches.filter((s) => s.allowed[item.index])
      const lengths = within.map((s) => s.toUm - s.fromUm)
      const copies = within.reduce((sum, s) => sum + s.mostCopies[item.index]!, 0)
      // the parts of one piece may as well be one part here
      const mostUm = item.split || item.loose ? lengths.reduce((a, b) => a + b, 0) : Math.max(0, ...lengths)
      return shapesOf(item, set, copies, mostUm, rules)
    }),
  )
}

/** What is offered at these prices and caps, by item. */
export function offeredAt(shapes: OfferShape[], prices: Float64Array, caps: Float64Array): Offered[] {
  const offered: Offered[] = []
  for (const shape of shapes) {
    const { item, option, group, cutUm, shrink } = shape
    const price = prices[item]!
    const cap = Math.min(caps[item]!, shape.copies)
    if (cap <= 1e-9 || price <= shape.leastPriceMicro) continue
    offered.push({
      item,
      option,
      group,
      cap,
      cutUm,
      profit: Math.ceil(price * shape.share - shape.costMicro) + shape.spareMicro,
      shrink: shrink && {
        leastCutUm: shrink.leastCutUm,
        lossPerUm: price * shrink.lossShare + shrink.lossMicro,
      },
    })
  }
  return offered
}

function shapesOf(
  item: Item,
  set: PlaceSet,
  copies: number,
  lengthUm: LengthUm,
  rules: CutRules,
): OfferShape[] {
  if (copies <= 0) return []
  return [...item.options.entries()].flatMap(([option, choice]) => {
    if (!setTakes(set, item, choice.putup)) return []
    const shape = shapeOf(item, choice, lengthUm, rules)
    return shape === null
      ? []
      : [
          {
            item: item.index,
            option,
            group: choice.group,
            // the parts of one piece in one stretch may as well be one part, were there a put-up for it
            copies: item.split || item.loose ? 1 : copies,
            leastPriceMicro: Math.max(0, choice.costMicro),
            ...shape,
          },
        ]
  })
}

function shapeOf(
  item: Item,
  { costMicro, mostDeclaredUm }: PutupOption,
  lengthUm: LengthUm,
  { lengthGuardRatio, pieceTrimUm }: CutRules,
): Pick<OfferShape, 'cutUm' | 'share' | 'costMicro' | 'spareMicro' | 'shrink'> | null {
  if (item.loose) {
    const lossShare = looseShare(item)
    const shrink = { leastCutUm: 0, lossShare, lossMicro: 0 }
    return { cutUm: lengthUm, share: lengthUm * lossShare, costMicro: 0, spareMicro: 1, shrink }
  }
  if (item.split) {
    const lossShare = 1 / item.declaredUm / (1 + lengthGuardRatio)
    const leastUm = bulkCutUm(item.split.minUm, lengthGuardRatio, pieceTrimUm) - 1
    const cutUm = Math.min(lengthUm, item.cutUm)
    if (leastUm > cutUm) return null
    const shrink = { leastCutUm: leastUm, lossShare, lossMicro: 0 }
    return { cutUm, share: (cutUm - pieceTrimUm) * lossShare, costMicro, spareMicro: 1, shrink }
  }
  if (item.shortest) {
    const mostUm = bulkCutUm(Math.min(item.declaredUm, mostDeclaredUm), lengthGuardRatio, pieceTrimUm)
    const cutUm = Math.min(lengthUm, mostUm)
    const leastUm = item.shortest.cutUm - 1
    if (leastUm > cutUm) return null
    // what a shorter piece forgoes is rounded down
    const lossMicro =
      Math.max(0, item.creditMicro - 1) / item.declaredUm / (1 + lengthGuardRatio) / (1 + 1e-9)
    const forgoneMicro = (item.cutUm - cutUm) * lossMicro
    const shrink = { leastCutUm: leastUm, lossShare: 0, lossMicro }
    return { cutUm, share: 1, costMicro: costMicro + forgoneMicro, spareMicro: 1, shrink }
  }
  if (item.cutUm > lengthUm || mostDeclaredUm < item.declaredUm) return null
  return { cutUm: barestCutUm(item), share: 1, costMicro, spareMicro: 0, shrink: null }
}

/** What each micrometre of a loose item is worth, as a share of a piece: at the least length that its tolerance and its parts ask for. */
export function looseShare(item: Item): number {
  const tolMinusPct = Math.max(...item.lines.map((l) => l.order.tolMinusPct ?? 0))
  return 1 / Math.max(1, leastCutUm(item), item.declaredUm * (1 - tolMinusPct / 100))
}

/** Any length of a loose item, at the rate of a whole piece with the least that its tolerance asks for. */
export function looseOffer(
  item: Item,
  price: number,
  lengthUm: LengthUm,
): Pick<Offered, 'cap' | 'cutUm' | 'profit' | 'shrink'> {
  const perUm = price * looseShare(item)
  return {
    cap: 1,
    cutUm: lengthUm,
    profit: Math.ceil(lengthUm * perUm) + 1,
    shrink: { leastCutUm: 0, lossPerUm: perUm },
  }
}

/** Pieces taken by item, as much of each as was paid for; a piece in parts by its share. */
export function amountsOf(items: Item[], taken: Taken[], { pieceTrimUm }: CutRules): Map<number, number> {
  const amounts = new Map<number, number>()
  for (const { item: index, count, cutUm } of taken) {
    const item = items[index]!
    amounts.set(index, (amounts.get(index) ?? 0) + count * shareOf(item, cutUm, pieceTrimUm))
  }
  return amounts
}

function shareOf(item: Item, cutUm: LengthUm, trimUm: LengthUm): number {
  if (item.loose) return cutUm * looseShare(item)
  if (item.split) return Math.min(1, Math.max(0, cutUm - trimUm) / (item.cutUm - trimUm))
  return Math.min(1, cutUm / (item.shortest?.cutUm ?? barestCutUm(item)))
}
