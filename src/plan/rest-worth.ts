import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import { type DrumModel, shortRestMicro } from './drum-model.ts'
import type { PlaceSet } from './place-set.ts'
import { curveValueMicro, materialMicroPerM, SHORT_REST_UM, windOffMicro } from './tariff.ts'

/** How much of a drum may stay on it, set by branching: what is left from the last cut inwards, 0 where nothing is kept. */
export interface RestRange {
  leastUm: LengthUm
  mostUm: LengthUm
  /** Clean length, wherever it lies, that may be in no piece. */
  spareUm: LengthUm
}

export const ANY_REST: RestRange = {
  leastUm: 0,
  mostUm: Number.MAX_SAFE_INTEGER,
  spareUm: Number.MAX_SAFE_INTEGER,
}

/** A stretch as far as its rest matters: where it lies and how much clean length lies beyond it in its clean stretch. */
export interface RestStretch {
  fromUm: LengthUm
  toUm: LengthUm
  insideUm: LengthUm
}

const NEVER = Number.NEGATIVE_INFINITY

/**
 * What lengths left over on a drum are worth at most, for the bound; micro-euro, all roundings up. In two ways of working that
 * exclude each other. Nothing is wound off: what is passed is scrap. Something is: all that is passed counts as kept, for the
 * price of one wind-off, since one length may be wound off across faults; and that price less a change of put-up, since the
 * pieces after it may go on with the same put-up and any further wind-off costs no less than the change it saves.
 */
export class RestWorth {
  /** The same for every filling: value before, mounting, the credit of the ends. The first put-up of each mounting is no change. */
  readonly fixedMicro: number
  readonly #catalog: Catalog
  readonly #model: DrumModel
  readonly #set: PlaceSet
  readonly #stretches: RestStretch[]
  readonly #woundOff: boolean
  readonly #range: RestRange
  readonly #tables = new Map<string, Float64Array>()
  readonly #perUm: number
  readonly #rate: number
  /** Value of the clean stretches beyond the one that each stretch lies in. */
  readonly #beyond: number[]
  /** Clean length beyond each stretch. */
  readonly #cleanBeyondUm: number[]

  constructor(
    catalog: Catalog,
    model: DrumModel,
    set: PlaceSet,
    stretches: RestStretch[],
    woundOff: boolean,
    range: RestRange,
  ) {
    this.#catalog = catalog
    this.#model = model
    this.#set = set
    this.#stretches = stretches
    this.#woundOff = woundOff
    this.#range = range
    this.#rate = model.scrapMicroPerUm
    this.#perUm = materialMicroPerM(catalog.input.costs, model.cable.cable) / 1e6
    this.#beyond = stretches.map((s) => model.keptFromMicro(s.toUm + s.insideUm))
    this.#cleanBeyondUm = stretches.map((s) => cleanFromUm(model, s.toUm))
    const endMicro = (model.usable.lengthUm - model.usable.good.toUm) * this.#rate
    const windOffMicro = woundOff ? this.#leastWindOff() - set.changeMicro : 0
    this.fixedMicro =
      endMicro -
      model.valueBeforeMicro -
      set.mountMicro +
      set.changeMicro * set.free -
      Math.max(0, windOffMicro)
  }

  lengthUm(k: number): LengthUm {
    return this.#stretches[k]!.toUm - this.#stretches[k]!.fromUm
  }

  /** Scrap between a stretch and the one outside it, or the outer end. */
  gapBeforeMicro(k: number): number {
    const fromUm = k === 0 ? 0 : this.#stretches[k - 1]!.toUm
    return (this.#stretches[k]!.fromUm - fromUm) * this.#rate
  }

  gapsUpToMicro(k: number): number {
    let sum = 0
    for (let i = 0; i <= k; i++) sum += this.gapBeforeMicro(i)
    return sum
  }

  /** Length of the stretches up to and with this one. */
  outerUm(k: number): LengthUm {
    let sum = 0
    for (let i = 0; i <= k; i++) sum += this.lengthUm(i)
    return sum
  }

  /**
   * By cells filled of a stretch: worth of the rest when the drum is stopped there. More may be filled than the cells say, by up
   * to `slackUm`.
   */
  stops(k: number, cellUm: number, cells: number, slackUm = cellUm): Float64Array {
    return this.#table(`stop:${k}:${cellUm}:${slackUm}`, cells, (x) => {
      const leftUm = this.lengthUm(k) - x * cellUm
      return this.#spared(this.unusedUm(k, leftUm, slackUm)) ? this.#stop(k, leftUm, slackUm) : NEVER
    })
  }

  /** By cells filled of a stretch that is passed: worth of what is left. */
  passes(k: number, cellUm: number, cells: number, slackUm = cellUm): Float64Array {
    return this.#table(`pass:${k}:${cellUm}:${slackUm}`, cells, (x) => {
      const leftUm = Math.max(0, this.lengthUm(k) - x * cellUm)
      return this.#spared(leftUm - slackUm) ? this.#pass(leftUm) : NEVER
    })
  }

  /** By cells filled of all stretches up to the stop together. */
  joined(k: number, cellUm: number): Float64Array {
    const outerUm = this.outerUm(k)
    return this.#table(`join:${k}:${cellUm}`, Math.floor(outerUm / cellUm), (x) => {
      const leftUm = outerUm - x * cellUm
      return this.#spared(this.unusedUm(k, leftUm, cellUm)) ? this.#joined(k, leftUm, cellUm) : NEVER
    })
  }

  /** Least clean length that is in no piece where the drum is stopped with so much left of a stretch: a cell may be rounding. */
  unusedUm(k: number, leftUm: number, cellUm: number): number {
    return leftUm - cellUm + this.#cleanBeyondUm[k]!
  }

  #spared(unusedUm: number): boolean {
    return unusedUm <= this.#range.spareUm
  }

  /** What is kept of a rest that is left in the stop's stretch; for branching, so a hair more or less is no matter. */
  keptUm(k: number, leftUm: number, cellUm: number): LengthUm {
    const restUm = leftUm + this.#tailUm(k)
    return this.#stop(k, leftUm, cellUm) > restUm * this.#rate + 0.5 ? restUm : 0
  }

  /** From the inner edge of a stretch to the end of what is good. */
  #tailUm(k: number): LengthUm {
    return this.#model.usable.good.toUm - this.#stretches[k]!.toUm
  }

  /** Left in the stretch where the drum is stopped: stays with all beyond, or everything is scrap. */
  #stop(k: number, leftUm: number, cellUm: number): number {
    const restUm = leftUm + this.#tailUm(k)
    const scrap = this.#range.leastUm <= 0 ? restUm * this.#rate : NEVER
    if (restUm < this.#range.leastUm || restUm - cellUm > this.#range.mostUm) return scrap
    // a rest may be left with its inner end on the drum, and is then that much longer
    const lyingUm = restUm + this.#model.usable.lengthUm - this.#model.usable.good.toUm
    const shortMicro = lyingUm >= SHORT_REST_UM ? 0 : this.#shortRest(Math.max(0, restUm - cellUm))
    return Math.max(
      this.#value(leftUm + this.#stretches[k]!.insideUm) + this.#beyond[k]! - shortMicro + 1,
      scrap,
    )
  }

  /**
   * Left over in all stretches up to the stop: kept in the stop's stretch, and the rest of it passed. The worth is convex in
   * how much is kept, so the best sharing is at one of the ends of what is possible.
   */
  #joined(k: number, leftUm: number, cellUm: number): number {
    const tailUm = this.#tailUm(k)
    const passableUm = this.outerUm(k - 1)
    const mostUm = Math.min(this.lengthUm(k), leftUm, this.#range.mostUm - tailUm)
    const leastUm = Math.max(0, leftUm - cellUm - passableUm, this.#range.leastUm - tailUm)
    let best = NEVER
    if (this.#range.leastUm <= 0) {
      const passedUm = Math.min(leftUm, passableUm)
      best =
        Math.max(this.#pass(0), this.#pass(passedUm) - passedUm * this.#rate) + (leftUm + tailUm) * this.#rate
    }
    if (mostUm < 0 || leastUm > mostUm + cellUm) return best
    if (leftUm <= mostUm) best = Math.max(best, this.#stop(k, leftUm, cellUm))
    const lowUm = Math.min(leastUm, mostUm)
    return Math.max(
      best,
      this.#stopAtMost(k, mostUm) + this.#pass(leftUm - mostUm),
      this.#stopAtMost(k, lowUm) + this.#pass(leftUm - lowUm),
    )
  }

  #stopAtMost(k: number, leftUm: number): number {
    return this.#convexValue(leftUm + this.#stretches[k]!.insideUm) + this.#beyond[k]! + 1
  }

  /** Most that a length passed is worth: as scrap, or wound off; a mix of both is worth no more, since the worth is convex. */
  #pass(leftUm: number): number {
    const scrap = leftUm * this.#rate
    return this.#woundOff ? Math.max(scrap, this.#convexValue(leftUm)) : scrap
  }

  #shortRest(restUm: LengthUm): number {
    let least = Number.POSITIVE_INFINITY
    for (const place of this.#set.places)
      least = Math.min(least, shortRestMicro(this.#catalog, this.#model, place, restUm))
    return least
  }

  /** Least cost of winding off anything. */
  #leastWindOff(): number {
    let least = Number.POSITIVE_INFINITY
    for (const { line, windOffs } of this.#set.places)
      if (line && windOffs[0])
        least = Math.min(least, windOffs[0].costMicro + windOffMicro(line, this.#catalog.input.costs, 0))
    return least
  }

  #value(lengthUm: number): number {
    return lengthUm < this.#model.cable.minKeepUm ? 0 : this.#convexValue(lengthUm)
  }

  /** The value without its threshold: no less, and convex. */
  #convexValue(lengthUm: number): number {
    if (lengthUm <= 0) return 0
    return curveValueMicro(this.#perUm, lengthUm) + 1
  }

  #table(key: string, cells: number, worthOf: (x: number) => number): Float64Array {
    const known = this.#tables.get(key)
    if (known) return known
    const table = new Float64Array(cells + 1)
    for (let x = 0; x <= cells; x++) table[x] = worthOf(x)
    this.#tables.set(key, table)
    return table
  }
}

function cleanFromUm(model: DrumModel, placeUm: LengthUm): LengthUm {
  return model.usable.clean.reduce((sum, s) => sum + Math.max(0, s.toUm - Math.max(placeUm, s.fromUm)), 0)
}
