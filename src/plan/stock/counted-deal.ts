import type { Random } from '../random.ts'
import type { StretchTarget, StretchTargets } from './counted-stretch.ts'
import type { StockLayout } from './stock-layout.ts'
import type { StretchFiller } from './stretch-filler.ts'

/** Orders in which the other pieces are dealt out. A tuned figure. */
const TRIES = 30

interface Place {
  b: number
  s: number
  target: StretchTarget
  order: number
}

/**
 * The layout that has on each stretch the counted pieces that are wanted there, and of the other pieces as much length as fits: the stretch
 * with most of it mostly last. The best of a few tries; null where nothing is wanted.
 */
export function countedDeal(
  empty: StockLayout,
  targets: StretchTargets,
  filler: StretchFiller,
  random: Random,
): StockLayout | null {
  const places: Place[] = targets.flatMap((stretches, b) =>
    stretches.flatMap((target, s) => (target ? [{ b, s, target, order: 0 }] : [])),
  )
  let best: StockLayout | null = null
  for (let k = 0; k < TRIES && places.length > 0; k++) {
    const layout = empty.copy()
    for (const place of places) place.order = place.target.otherLength * (0.5 + random())
    places.sort((p, q) => p.order - q.order)
    filler.shuffle(false)
    for (const { b, s, target } of places) layout.put(b, s, target.cut)
    for (const { b, s, target } of places) add(layout, b, s, target.otherLength, filler)
    // lengths need not come out even where a leftover is kept
    const room = ({ b, s }: Place) => empty.problem.stocks[b]!.stretches[s]! - layout.taken(b, s)
    for (const place of places.toSorted((p, q) => room(q) - room(p)))
      add(layout, place.b, place.s, room(place), filler)
    layout.recount()
    if (best === null || layout.cost < best.cost) best = layout
  }
  return best
}

/** Adds pieces to those on a stretch, up to a length. */
function add(layout: StockLayout, b: number, s: number, length: number, filler: StretchFiller): void {
  const more = filler.run(length, layout.missing) ?? []
  for (const { kind, count } of more) layout.missing[kind] = layout.missing[kind]! - count
  layout.cuts[b]![s] = [...layout.cuts[b]![s]!, ...more]
}
