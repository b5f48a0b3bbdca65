import type { Catalog } from './catalog.ts'
import { type DrumModel, type Place, placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import type { Item } from './item.ts'
import { layOut, type Pattern } from './pattern.ts'
import type { Taken } from './stretch-fill.ts'

/** A drum as it fills up: what is left of each stretch, where it may still be mounted. */
interface Filling {
  model: DrumModel
  leftUm: number[]
  taken: Taken[][]
  places: Place[]
}

/**
 * Longest piece first, each where it leaves least: a plan that wastes and handles much, but seldom leaves a long piece without
 * a place. Pieces in parts are tried whole. `lots` binds lot groups.
 */
export function bestFit(catalog: Catalog, instance: TypeInstance, lots: Map<string, string>): Pattern[] {
  const fillings: Filling[] = instance.drums.map((model) => ({
    model,
    leftUm: model.divisions[0]!.map((s) => s.toUm - s.fromUm),
    taken: model.divisions[0]!.map(() => []),
    places: model.places,
  }))
  for (const item of [...instance.items].sort((a, b) => b.cutUm - a.cutUm)) {
    let wanted = item.demand
    while (wanted > 0) {
      const put = placeOne(fillings, item, wanted, lots)
      if (put === 0) break
      wanted -= put
    }
  }
  return fillings.flatMap((f, drum) => {
    const place = f.model.places.indexOf([...f.places].sort((a, b) => a.mountMicro - b.mountMicro)[0]!)
    const pattern = layOut(catalog, instance.items, f.model, drum, place, 0, f.taken)
    return pattern ? [pattern] : []
  })
}

/** Puts one piece, or as many leads as fit there, where least is left; the number put, 0 where there is no place. */
function placeOne(fillings: Filling[], item: Item, wanted: number, lots: Map<string, string>): number {
  let best: { filling: Filling; stretch: number; option: number; places: Place[]; leftUm: number } | null =
    null
  for (const filling of fillings) {
    if (item.group !== null && lots.get(item.group) !== filling.model.usable.drum.lot) continue
    const choice = optionFor(item, filling.places)
    if (!choice) continue
    for (const [stretch, part] of filling.model.divisions[0]!.entries()) {
      const leftUm = filling.leftUm[stretch]! - item.cutUm
      if (!part.allowed[item.index] || leftUm < 0 || (best && leftUm >= best.leftUm)) continue
      best = { filling, stretch, ...choice, leftUm }
    }
  }
  if (!best) return 0
  const { filling, stretch, option, places } = best
  const count = item.lead ? Math.min(wanted, Math.floor(filling.leftUm[stretch]! / item.cutUm)) : 1
  filling.leftUm[stretch] = filling.leftUm[stretch]! - count * item.cutUm
  filling.taken[stretch]!.push({
    item: item.index,
    option,
    group: item.options[option]!.group,
    count,
    cutUm: item.cutUm,
  })
  filling.places = places
  return count
}

/** The cheapest put-up that holds the piece in full and that some of these places take, with those places. */
export function optionFor(
  item: Item,
  places: Place[],
  declaredUm = item.declaredUm,
): { option: number; places: Place[] } | null {
  let best: { option: number; places: Place[]; costMicro: number } | null = null
  for (const [option, { putup, costMicro, mostDeclaredUm }] of item.options.entries()) {
    if (mostDeclaredUm < declaredUm || (best && costMicro >= best.costMicro)) continue
    const takes = places.filter((p) => placeTakes(p, item, putup))
    if (takes.length > 0) best = { option, places: takes, costMicro }
  }
  return best
}
