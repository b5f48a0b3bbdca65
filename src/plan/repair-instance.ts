import type { CableType } from '../cable/cable-type.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { UsableDrum } from '../strip/usable.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { type DrumModel, type Place, shortRestMicro } from './drum-model.ts'
import { type TypeInstance, typeInstance } from './instance.ts'
import type { Item } from './item.ts'
import { type ItemPieces, itemPieces, type OpenDemand, openDemand } from './repair-demand.ts'
import type { FixedMounting } from './repair-fixed.ts'

/** One cable type as far as it is still to be planned. */
export interface OpenType {
  cable: CableType
  catalog: Catalog
  instance: TypeInstance
  demand: OpenDemand
  pieces: Map<number, ItemPieces[]>
  /** Last fixed mounting of each drum that has one. */
  fixed: Map<string, FixedMounting>
  allFixed: FixedMounting[]
}

/** The works without what is fixed: shorter drums, fewer pieces. */
export function openType(catalog: Catalog, cable: CableType, fixed: FixedMounting[]): OpenType {
  const own = fixed.filter((f) => catalog.drums.get(f.drum)?.drum.cable === cable.cable)
  const last = new Map(own.map((f) => [f.drum, f]))
  const demand = openDemand(catalog, cable.cable, own)
  const drums = new Map<string, UsableDrum>()
  for (const [id, usable] of catalog.drums) {
    const rest = last.get(id)?.restUm
    if (!last.has(id)) drums.set(id, usable)
    else if (rest) drums.set(id, beyond(usable, rest.fromUm, rest.toUm))
  }
  const reduced: Catalog = {
    ...catalog,
    input: { ...catalog.input, orders: demand.orders },
    drums,
    barred: lotsBound(catalog, cable, own),
  }
  const instance = typeInstance(reduced, cable)
  instance.drums = instance.drums.map((model) => {
    const begun = last.get(model.usable.drum.drum)
    return begun?.open ? goingOn(reduced, model, begun, instance.items) : model
  })
  return {
    cable,
    catalog: reduced,
    instance,
    demand,
    pieces: itemPieces(instance.items, demand),
    fixed: last,
    allFixed: own,
  }
}

/** A drum from a place on it inwards, as a drum of its own: nothing is lost at its new outer end, since it is cut just there. */
function beyond(usable: UsableDrum, fromUm: LengthUm, toUm: LengthUm): UsableDrum {
  const shift = (s: { fromUm: LengthUm; toUm: LengthUm }) => ({
    fromUm: Math.max(0, s.fromUm - fromUm),
    toUm: Math.max(0, Math.min(toUm, s.toUm) - fromUm),
  })
  return {
    ...usable,
    lengthUm: toUm - fromUm,
    good: shift(usable.good),
    zones: usable.zones
      .filter((z) => z.toUm > fromUm && z.fromUm < toUm)
      .map((z) => ({ ...z, fromUm: z.fromUm - fromUm, toUm: z.toUm - fromUm })),
    clean: usable.clean.map(shift).filter((s) => s.toUm > s.fromUm),
  }
}

/** A lot group that was begun is bound to its lot: the drums of other lots are barred to it. */
function lotsBound(catalog: Catalog, cable: CableType, fixed: FixedMounting[]): Catalog['barred'] {
  const lots = new Map<string, string>()
  for (const { drum, intervals } of fixed)
    for (const i of intervals) {
      const group = i.use === 'piece' && catalog.orders.get(orderKey(i.order, i.orderLine))?.sameLotGroup
      if (group) lots.set(group, catalog.drums.get(drum)!.drum.lot)
    }
  if (lots.size === 0) return catalog.barred
  const barred = new Map(catalog.barred)
  for (const [key, order] of catalog.orders) {
    const lot = order.sameLotGroup === null ? undefined : lots.get(order.sameLotGroup)
    if (lot === undefined) continue
    const others = [...catalog.drums.values()].filter(
      (u) => u.drum.cable === cable.cable && u.drum.lot !== lot,
    )
    barred.set(key, new Set([...(barred.get(key) ?? []), ...others.map((u) => u.drum.drum)]))
  }
  return barred
}

/** A mounting that goes on: it is paid for, and to stop it here costs what its rest is worth less than it could. */
function goingOn(catalog: Catalog, model: DrumModel, begun: FixedMounting, items: Item[]): DrumModel {
  const places = model.places.map((p) => (p.id === begun.line ? { ...p, mountMicro: 0 } : p))
  const here = places.find((p) => p.id === begun.line)
  return {
    ...model,
    places,
    valueBeforeMicro: here ? stoppedWorth(catalog, model, here).micro : model.valueBeforeMicro,
    lastGroup: lastGroupOf(begun, items),
  }
}

/** What a begun drum is worth if nothing more is cut from it: kept on the drum up to `keptToUm`, or scrap (0). */
export function stoppedWorth(
  catalog: Catalog,
  model: DrumModel,
  place: Place,
): { micro: MicroEur; keptToUm: LengthUm } {
  const { lengthUm, good } = model.usable
  const value = model.keptFromMicro(0)
  const scrap = (um: LengthUm) => Math.round(um * model.scrapMicroPerUm)
  let best = { micro: scrap(lengthUm), keptToUm: 0 }
  for (const keptToUm of [good.toUm, lengthUm]) {
    const micro = value - shortRestMicro(catalog, model, place, keptToUm) + scrap(lengthUm - keptToUm)
    if (value > 0 && micro > best.micro) best = { micro, keptToUm }
  }
  return best
}

/** Number of the put-up that was wound last; one that no item uses is no item's. */
function lastGroupOf({ intervals }: FixedMounting, items: Item[]): number | null {
  for (const interval of [...intervals].reverse()) {
    if (interval.use !== 'piece' && !(interval.use === 'remnant' && interval.putup !== null)) continue
    const option = items.flatMap((i) => i.options).find((o) => o.putup === interval.putup)
    return option?.group ?? -1
  }
  return null
}
