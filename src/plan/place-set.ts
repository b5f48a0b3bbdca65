import { type DrumModel, type Place, placeTakes } from './drum-model.ts'
import type { Item } from './item.ts'

/** Where a drum may stand: one place, or several one after the other. */
export interface PlaceSet {
  places: Place[]
  /** Least that mounting it costs. */
  mountMicro: number
  /** Least that a change of put-up costs. */
  changeMicro: number
  /** Put-ups that are no change: the first of each mounting. */
  free: number
}

/**
 * The places of a drum one by one, and, where there are several, all of them together at the two cheapest mountings:
 * whatever a drum that is mounted more than once can do, this can do for no more.
 */
export function placeSets(model: DrumModel): PlaceSet[] {
  // taking a drum off and on again would save a change too, where that is the cheaper of the two
  const changeOf = (p: Place) => Math.min(p.changeMicro, p.mountMicro)
  const sets = model.places.map((place) => ({
    places: [place],
    mountMicro: place.mountMicro,
    changeMicro: changeOf(place),
    free: 1,
  }))
  if (model.places.length < 2) return sets
  const mounts = model.places.map((p) => p.mountMicro).sort((a, b) => a - b)
  // a bench cuts leads only, which are one put-up: it saves the lines one change. A third mounting costs no less than the change it saves
  const changeMicro = Math.min(...model.places.filter((p) => p.line !== null).map(changeOf))
  return [...sets, { places: model.places, mountMicro: mounts[0]! + mounts[1]!, changeMicro, free: 2 }]
}

export function setTakes(set: PlaceSet, item: Item, putup: string | null): boolean {
  return set.places.some((p) => placeTakes(p, item, putup))
}

/**
 * Ways of working a drum for the bound: nothing wound off, or something. What is wound off is wound off at a line; where all lies in
 * one stretch it may as well stay on the drum, which as the bound sees it costs no more. `asked`: the one way to look at, if it can be.
 */
export function waysOf(
  { relaxed, parts }: DrumModel,
  { places }: PlaceSet,
  asked: boolean | null = null,
): boolean[] {
  const atLine = places.some((p) => p.line !== null)
  if (asked !== null) return asked && !atLine ? [] : [asked]
  return atLine && Math.max(relaxed.length, parts.length) > 1 ? [false, true] : [false]
}
