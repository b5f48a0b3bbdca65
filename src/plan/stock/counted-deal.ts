import type { Random } from '../random.ts'
import type { StretchTarget } from './counted-stretch.ts'
import type { StockLayout } from './stock-layout.ts'
import type { StretchFiller } from './stretch-filler.ts'

/** Orders in which the other pieces are dealt out. */
const TRIES = 30

/**
 * The layout that has on each stretch the counted pieces that are wanted there, and of the other pieces as much length as fits: the stretch
 * with most room last, since what is left over there decides least. The best of a few tries; null where nothing is wanted.
 */
export function countedDeal(
  empty: StockLayout,
  targets: readonly (readonly (StretchTarget | null)[])[],
  filler: StretchFiller,
  random: Random,
): StockLayout | null {
  const places = targets.flatMap((stretches, b) =>
    stretches.flatMap((target, s) => (target ? [{ b, s, target, order: 0 }] : [])),
  )
  let best: StockLayout | null = null
  for (let k = 0; k < TRIES && places.length > 0; k++) {
    const layout = empty.copy()
    for (const place of places) place.order = place.target.otherLength * (0.5 + random())
    places.sort((p, q) => p.order - q.order)
    filler.shuffle(false)
    for (const { b, s, target } of places) layout.put(b, s, target.cut)
    for (const { b, s, target } of places) {
      const more = filler.run(target.otherLength, layout.missing) ?? []
      for (const { kind, count } of more) layout.missing[kind] = layout.missing[kind]! - count
      layout.cuts[b]![s] = [...target.cut, ...more]
    }
    layout.recount()
    if (best === null || layout.cost < best.cost) best = layout
  }
  return best
}
