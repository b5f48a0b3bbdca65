import type { Catalog } from './catalog.ts'
import { cheapestWindOff, type DrumModel, type Fillable, type Place } from './drum-model.ts'
import { declaredOfCutUm, type Item } from './item.ts'
import { restWorthMicro } from './left-over.ts'
import { layOut, type Pattern } from './pattern.ts'
import { type Market, offeredIn, trimmed } from './plan-offers.ts'
import { StretchFill, type Taken } from './stretch-fill.ts'
import { curveValueMicro, materialMicroPerM } from './tariff.ts'

/** Cells of the longest stretch of a drum. */
const SEARCH_CELLS = 2048
/** No cell is finer than this: below it nobody can cut. */
const LEAST_CELL_UM = 500

/** Not all of what is left to the next stretch will be filled. */
const SHARED = 0.98

/** A stretch being filled, with the cells at its outer edge that pieces of the one before have, and the one after it. */
interface Filling {
  stretch: Fillable
  skipped: number
  next?: Fillable | undefined
}

/** A pattern with what it earns at the prices asked for. */
export interface Priced {
  pattern: Pattern
  profitMicro: number
}

/** Finds the most profitable way to cut one drum at given prices. One instance serves many calls. */
export class Pricer {
  readonly #catalog: Catalog
  readonly #items: Item[]
  readonly #fill = new StretchFill()
  readonly #tables = new Map<Fillable, Map<string, Float64Array>>()
  /** Stretches filled so far: the measure of work. */
  work = 0

  constructor(catalog: Catalog, items: Item[]) {
    this.#catalog = catalog
    this.#items = items
  }

  /**
   * A good pattern for one drum at one place: profit = Σ price·amount − cost. Exact for a drum in one stretch up to the grid;
   * over several stretches pieces are given out from the outside in. null where nothing earns its keep.
   */
  pattern(model: DrumModel, drum: number, place: number, market: Market, changeShare = 1): Priced | null {
    let best: Priced | null = null
    for (const division of model.divisions.keys()) {
      best = better(best, this.#divisionPattern(model, drum, place, division, market, changeShare))
    }
    return best
  }

  #divisionPattern(
    model: DrumModel,
    drum: number,
    place: number,
    division: number,
    market: Market,
    changeShare: number,
  ): Priced | null {
    const where = model.places[place]!
    const { cutRules } = this.#catalog.input.site
    const caps = Float64Array.from(market.caps)
    const partsLeft = Float64Array.from(market.partsLeft)
    const passed: Taken[][] = []
    let best: Priced | null = null
    const stretches = model.divisions[division]!
    const cellUm = cellOf(stretches, SEARCH_CELLS)
    let endUm = 0
    for (const [s, stretch] of stretches.entries()) {
      // by whole cells, so that what rests are worth is reckoned once
      const skipped = Math.ceil(Math.max(0, endUm - stretch.fromUm) / cellUm)
      const open = { ...stretch, fromUm: stretch.fromUm + skipped * cellUm }
      const offered = offeredIn(
        this.#items,
        where,
        open,
        { prices: market.prices, caps, partsLeft },
        cutRules,
      )
      if (offered.length > 0) {
        const changeMicro = where.changeMicro * changeShare
        this.#fill.run(stretch.toUm - open.fromUm, cellUm, offered, () => changeMicro)
        this.work++
        const stopped = trimmed(
          this.#items,
          this.#fill.taken(this.#stopAt(model, where, { stretch, skipped }, cellUm)),
          caps,
        )
        best = better(best, this.#laid(model, drum, place, division, [...passed, stopped], market.prices))
        const through = trimmed(
          this.#items,
          this.#fill.taken(this.#passAt(model, where, { stretch, skipped, next: stretches[s + 1] }, cellUm)),
          caps,
        )
        endUm = through.reduce((sum, t) => sum + t.count * t.cutUm, open.fromUm)
        for (const t of through) {
          caps[t.item] = Math.max(0, caps[t.item]! - this.#amount(t))
          partsLeft[t.item] = partsLeft[t.item]! - t.count
        }
        passed.push(through)
      } else passed.push([])
    }
    return best
  }

  #laid(
    model: DrumModel,
    drum: number,
    place: number,
    division: number,
    taken: Taken[][],
    prices: Float64Array,
  ): Priced | null {
    const pattern = layOut(this.#catalog, this.#items, model, drum, place, division, taken)
    return pattern && { pattern, profitMicro: profitOf(pattern, prices) }
  }

  /** Where to stop in this stretch: best with the rest kept. */
  #stopAt(model: DrumModel, place: Place, { stretch, skipped }: Filling, cellUm: number): number {
    const rests = this.#table(`stop:${place.id}`, stretch, this.#fill.cells + skipped, (x) =>
      restWorthMicro(this.#catalog, model, place, stretch.fromUm + x * cellUm),
    )
    return this.#fill.bestWith(rests.subarray(skipped)).at
  }

  /** How full to leave a stretch that is passed: what is left is scrap or is wound off, or the next has it. */
  #passAt(model: DrumModel, place: Place, { stretch, skipped, next }: Filling, cellUm: number): number {
    if (next && next.fromUm < stretch.toUm) return this.#shareAt(model, { stretch, skipped, next }, cellUm)
    const rests = this.#table(`pass:${place.id}`, stretch, this.#fill.cells + skipped, (x) =>
      this.#passedWorth(model, place, stretch.toUm - stretch.fromUm - x * cellUm),
    )
    return this.#fill.bestWith(rests.subarray(skipped)).at
  }

  /** How full to leave a stretch that overlaps the next: what both may have earns there nearly what it earns here in the mean. */
  #shareAt(
    model: DrumModel,
    { stretch, skipped, next }: Filling & { next: Fillable },
    cellUm: number,
  ): number {
    const { best, cells } = this.#fill
    const perUm = (SHARED * best[cells]!) / Math.max(1, cells * cellUm)
    const rests = Float64Array.from({ length: cells + 1 }, (_, x) => {
      const placeUm = stretch.fromUm + (skipped + x) * cellUm
      const sharedUm = stretch.toUm - Math.max(placeUm, next.fromUm)
      return Math.max(0, next.fromUm - placeUm) * model.scrapMicroPerUm + Math.max(0, sharedUm) * perUm
    })
    return this.#fill.bestWith(rests).at
  }

  /** What rests are worth does not depend on prices, so it is reckoned once for each stretch and place. */
  #table(kind: string, stretch: Fillable, cells: number, worthOf: (x: number) => number): Float64Array {
    const tables = this.#tables.get(stretch) ?? new Map<string, Float64Array>()
    this.#tables.set(stretch, tables)
    const known = tables.get(kind)
    if (known) return known
    const table = Float64Array.from({ length: cells + 1 }, (_, x) => worthOf(x))
    tables.set(kind, table)
    return table
  }

  #passedWorth(model: DrumModel, place: Place, leftUm: number): number {
    if (leftUm <= 0) return 0
    const scrap = leftUm * model.scrapMicroPerUm
    const value = this.#value(model, leftUm)
    if (value === 0) return scrap
    const windOff = cheapestWindOff(this.#catalog, place, leftUm)
    return windOff ? Math.max(scrap, value - windOff.costMicro) : scrap
  }

  /** V(L) in floating point: for choosing only, the layout prices exactly. */
  #value(model: DrumModel, lengthUm: number): number {
    return lengthUm < model.cable.minKeepUm ? 0 : curveValueMicro(this.#perUm(model), lengthUm)
  }

  #perUm(model: DrumModel): number {
    return materialMicroPerM(this.#catalog.input.costs, model.cable.cable) / 1e6
  }

  #amount(t: Taken): number {
    const item = this.#items[t.item]!
    if (!item.split) return t.count
    const { lengthGuardRatio, pieceTrimUm } = this.#catalog.input.site.cutRules
    return declaredOfCutUm(t.cutUm, lengthGuardRatio, pieceTrimUm) / item.declaredUm
  }
}

function cellOf(division: Fillable[], cells: number): number {
  const longestUm = division.reduce((most, s) => Math.max(most, s.toUm - s.fromUm), 0)
  return Math.max(LEAST_CELL_UM, Math.ceil(longestUm / cells))
}

function better(a: Priced | null, b: Priced | null): Priced | null {
  return b && (!a || b.profitMicro > a.profitMicro) ? b : a
}

function profitOf(pattern: Pattern, prices: Float64Array): number {
  let profit = -pattern.costMicro
  for (const [item, amount] of pattern.amounts) profit += amount * prices[item]!
  return profit
}
