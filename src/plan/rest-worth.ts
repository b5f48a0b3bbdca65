import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import { cheapestWindOff, type DrumModel, type Place, placeTakes, shortRestMicro } from './drum-model.ts'
import type { Item } from './item.ts'
import { materialMicroPerM, SHORT_REST_UM, windOffMicro } from './tariff.ts'

/** Where a drum may stand: one place, or several one after the other. */
export interface PlaceSet {
  places: Place[]
  /** Least that mounting it costs. */
  mountMicro: number
  /** Least that a change of put-up costs. */
  changeMicro: number
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
  }))
  if (model.places.length < 2) return sets
  const mounts = model.places.map((p) => p.mountMicro).sort((a, b) => a - b)
  const changeMicro = Math.min(...model.places.map(changeOf))
  return [...sets, { places: model.places, mountMicro: mounts[0]! + mounts[1]!, changeMicro }]
}

export function setTakes(set: PlaceSet, item: Item, putup: string | null): boolean {
  return set.places.some((p) => placeTakes(p, item, putup))
}

/** How much of a drum may stay on it, set by branching: what is left from the last cut inwards, 0 where nothing is kept. */
export interface RestRange {
  leastUm: LengthUm
  mostUm: LengthUm
}

export const ANY_REST: RestRange = { leastUm: 0, mostUm: Number.MAX_SAFE_INTEGER }

/** Value at length 0 in shares of the material, from V(L) = c·L·(0.35 + …). */
const LEAST_VALUE_SHARE = 0.35

/** What lengths left over on a drum are worth at most, for the bound: all roundings go up. Micro-euro. */
export class RestWorth {
  /** The same for every filling: value before, mounting, the credit of the ends. The first put-up of each mounting is no change. */
  readonly fixedMicro: number
  readonly #catalog: Catalog
  readonly #model: DrumModel
  readonly #set: PlaceSet
  readonly #lengths: number[]
  /** Value of the stretches beyond each, and the length from its inner edge to the end of what is good. */
  readonly #beyond: number[]
  readonly #tail: number[]
  readonly #perUm: number
  readonly #range: RestRange
  readonly #tables = new Map<string, Float64Array>()

  constructor(catalog: Catalog, model: DrumModel, set: PlaceSet, range: RestRange) {
    this.#catalog = catalog
    this.#range = range
    this.#model = model
    this.#set = set
    const { relaxed, usable } = model
    this.#lengths = relaxed.map((s) => s.toUm - s.fromUm)
    this.#beyond = relaxed.map((s) => model.keptFromMicro(s.toUm))
    this.#tail = relaxed.map((s) => usable.good.toUm - s.toUm)
    this.#perUm = materialMicroPerM(catalog.input.costs, model.cable.cable) / 1e6
    const endMicro = (usable.lengthUm - usable.good.toUm) * model.scrapMicroPerUm
    this.fixedMicro = endMicro - model.valueBeforeMicro - set.mountMicro + set.changeMicro * set.places.length
  }

  /** By cells filled of a stretch: worth of the rest when the drum is stopped there. */
  stops(k: number, cellUm: number, cells: number): Float64Array {
    return this.#table(`stop:${k}:${cellUm}`, cells, (x) =>
      this.stopMicro(k, this.#lengths[k]! - x * cellUm, cellUm),
    )
  }

  /** By cells filled of a stretch: worth of the rest when the drum is wound on. */
  passes(k: number, cellUm: number, cells: number): Float64Array {
    return this.#table(`pass:${k}:${cellUm}`, cells, (x) =>
      this.#passMicro(this.#lengths[k]! - x * cellUm, cellUm),
    )
  }

  /** By cells filled of all stretches up to the stop. */
  joined(k: number, cellUm: number): Float64Array {
    const outerUm = this.outerUm(k)
    return this.#table(`join:${k}:${cellUm}`, Math.floor(outerUm / cellUm), (x) =>
      this.#joinedMicro(k, outerUm - x * cellUm, cellUm),
    )
  }

  #table(key: string, cells: number, worthOf: (x: number) => number): Float64Array {
    const known = this.#tables.get(key)
    if (known) return known
    const table = new Float64Array(cells + 1)
    for (let x = 0; x <= cells; x++) table[x] = worthOf(x)
    this.#tables.set(key, table)
    return table
  }

  /** Scrap between a stretch and the one outside it, or the outer end. */
  gapBeforeMicro(k: number): number {
    const { relaxed } = this.#model
    const fromUm = k === 0 ? 0 : relaxed[k - 1]!.toUm
    return (relaxed[k]!.fromUm - fromUm) * this.#model.scrapMicroPerUm
  }

  gapsUpToMicro(k: number): number {
    let sum = 0
    for (let i = 0; i <= k; i++) sum += this.gapBeforeMicro(i)
    return sum
  }

  /** Length of the stretches up to and with this one. */
  outerUm(k: number): LengthUm {
    return this.#lengths.slice(0, k + 1).reduce((a, b) => a + b, 0)
  }

  /** Left in the stretch where the drum is stopped: stays with all beyond, or everything is scrap. */
  stopMicro(k: number, leftUm: number, cellUm: number): number {
    const restUm = leftUm + this.#tail[k]!
    const scrap = this.#range.leastUm <= 0 ? restUm * this.#model.scrapMicroPerUm : Number.NEGATIVE_INFINITY
    if (restUm < this.#range.leastUm || restUm - cellUm > this.#range.mostUm) return scrap
    const shortMicro = restUm >= SHORT_REST_UM ? 0 : this.#shortRest(Math.max(0, restUm - cellUm))
    return Math.max(this.#value(leftUm) + this.#beyond[k]! - shortMicro + 1, scrap)
  }

  /** What is kept of a rest that is left in the stop's stretch; for branching, so a hair more or less is no matter. */
  keptUm(k: number, leftUm: number, cellUm: number): LengthUm {
    const restUm = leftUm + this.#tail[k]!
    const scrap = restUm * this.#model.scrapMicroPerUm
    return this.stopMicro(k, leftUm, cellUm) > scrap + 0.5 ? restUm : 0
  }

  /** Left in a stretch that is passed: scrap, or wound off. */
  #passMicro(leftUm: number, cellUm: number): number {
    if (leftUm <= 0) return 0
    const scrap = leftUm * this.#model.scrapMicroPerUm
    const value = this.#value(leftUm)
    // the cost of winding off grows with the length, so it is taken for the shortest length of this cell
    return value > 0 ? Math.max(scrap, value - this.#leastWindOff(Math.max(0, leftUm - cellUm))) : scrap
  }

  /**
   * Left over in all stretches up to the stop together. V is convex and so worth most in one place: up to the length of the
   * stop's stretch all of it there; beyond that the best sharing is at one of the ends of what is possible.
   */
  #joinedMicro(k: number, leftUm: number, cellUm: number): number {
    const tailUm = this.#tail[k]!
    const outerUm = this.outerUm(k - 1)
    const none =
      this.#range.leastUm <= 0 ? this.#noneKept(leftUm, tailUm, outerUm, cellUm) : Number.NEGATIVE_INFINITY
    const mostUm = Math.min(this.#lengths[k]!, leftUm, this.#range.mostUm - tailUm)
    const leastUm = Math.max(0, leftUm - cellUm - outerUm, this.#range.leastUm - tailUm)
    if (mostUm < 0 || leastUm > mostUm + cellUm) return none
    if (leftUm <= mostUm) return Math.max(none, this.stopMicro(k, leftUm, cellUm))
    const lowUm = Math.min(leastUm, mostUm)
    return Math.max(
      none,
      this.#stopAtMost(k, mostUm) + this.#passTogether(leftUm - mostUm, cellUm),
      this.#stopAtMost(k, lowUm) + this.#passTogether(leftUm - lowUm, cellUm),
    )
  }

  /** Everything from the last cut inwards is scrap; what is left over further out may still have been wound off. */
  #noneKept(leftUm: number, tailUm: number, outerUm: number, cellUm: number): number {
    const rate = this.#model.scrapMicroPerUm
    const passedUm = Math.min(leftUm, outerUm)
    return Math.max(
      (leftUm + tailUm) * rate,
      (leftUm + tailUm - passedUm) * rate + this.#passTogether(passedUm, cellUm),
    )
  }

  #stopAtMost(k: number, leftUm: number): number {
    return this.#convexValue(leftUm) + this.#beyond[k]! + 1
  }

  #passTogether(leftUm: number, cellUm: number): number {
    const scrap = leftUm * this.#model.scrapMicroPerUm
    const woundOff = this.#convexValue(leftUm) - this.#leastWindOff(Math.max(0, leftUm - cellUm))
    // where scrap pays less than the first metres are worth, a mix of both is worth no more than all wound off together
    const mixed = this.#model.scrapMicroPerUm <= LEAST_VALUE_SHARE * this.#perUm
    return mixed ? Math.max(scrap, woundOff) : scrap + Math.max(0, woundOff)
  }

  #shortRest(restUm: LengthUm): number {
    let least = Number.POSITIVE_INFINITY
    for (const place of this.#set.places)
      least = Math.min(least, shortRestMicro(this.#catalog, this.#model, place, restUm))
    return least
  }

  /** Least cost of winding off a length to one put-up that holds it, or to two or more, which together are worth no more. */
  #leastWindOff(lengthUm: LengthUm): number {
    const { costs } = this.#catalog.input
    let least = Number.POSITIVE_INFINITY
    for (const place of this.#set.places) {
      const one = cheapestWindOff(this.#catalog, place, lengthUm)
      if (one) least = Math.min(least, one.costMicro)
      const cheapest = place.windOffs[0]
      if (!place.line || !cheapest) continue
      const two =
        windOffMicro(place.line, costs, lengthUm) +
        windOffMicro(place.line, costs, 0) +
        2 * cheapest.costMicro
      least = Math.min(least, two)
    }
    return least
  }

  #value(lengthUm: number): number {
    return lengthUm < this.#model.cable.minKeepUm ? 0 : this.#convexValue(lengthUm)
  }

  /** The value without its threshold: no less, and convex. */
  #convexValue(lengthUm: number): number {
    if (lengthUm <= 0) return 0
    return (this.#perUm * lengthUm * (lengthUm + 21e6)) / (lengthUm + 60e6) + 1
  }
}
