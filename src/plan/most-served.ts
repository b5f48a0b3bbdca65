import type { LengthUm } from '../quantity/length.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import { optionFor } from './best-fit.ts'
import type { Catalog } from './catalog.ts'
import { type DrumModel, type Fillable, type Place, placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import type { Item } from './item.ts'
import type { LinearProgram, LinearProgramEngine, WholeLimit } from './linear-program.ts'
import { LotRows } from './lot-rows.ts'
import { inParts, MORE_THAN_WHOLE, PartsServed } from './parts-served.ts'
import { layOut, type Pattern } from './pattern.ts'
import type { Taken } from './stretch-fill.ts'

const MICRO = 1e6
/** Of two plans that serve as much the one with fewer pieces at their shortest, in euro each. */
const SHORTEST_EUR = 0.01
/** Beyond so many whole columns it would not be done in any time that there is. */
const MOST_COLUMNS = 20_000

/** One way to mount a drum and to divide it. */
interface Way {
  drum: number
  place: number
  division: number
  stretches: Fillable[]
}

/** A stretch of a drum that is mounted and divided so. */
interface Spot {
  way: Way
  stretch: number
}

/** So many of a kind of piece in a stretch, as a column of the program. */
interface Choice extends Spot {
  column: number
  taken: Omit<Taken, 'count'>
}

export interface MostServed {
  patterns: Pattern[]
  /** Whether the library says that nothing of this kind serves more: pieces full, at their shortest or in parts. */
  best: boolean
  /** A measure of work. */
  work: number
}

/**
 * What serves most, as a whole-number program: so many pieces of each item in each stretch, lengths and lots as they are, and no
 * word of cost. null where nothing was found within the limit, or there is too much to ask.
 */
export function mostServed(
  catalog: Catalog,
  instance: TypeInstance,
  engine: LinearProgramEngine,
  limit: WholeLimit,
): MostServed | null {
  const stretches = instance.drums.reduce((sum, d) => sum + d.places.length * d.divisions.flat().length, 0)
  if (stretches * instance.items.length > MOST_COLUMNS) return null
  const program = new ServiceProgram(instance, catalog.input.site.cutRules, engine.create())
  try {
    const solved = program.solve(limit)
    if (!solved) return null
    const { values, best, work } = solved
    return { patterns: program.patterns(catalog, values), best, work }
  } finally {
    program.dispose()
  }
}

class ServiceProgram {
  readonly #instance: TypeInstance
  readonly #rules: CutRules
  readonly #lp: LinearProgram
  readonly #choices: Choice[] = []
  /** By item, of those that may come in parts. */
  readonly #parts = new Map<number, PartsServed<Spot>>()
  readonly #lotRows: LotRows
  /** Columns that say how a drum is mounted, where there is more than one way, and that a piece in parts is left. */
  readonly #whole: number[] = []

  constructor(instance: TypeInstance, rules: CutRules, lp: LinearProgram) {
    this.#instance = instance
    this.#rules = rules
    this.#lp = lp
    const demandRows = instance.items.map((item) => this.#addDemand(item))
    this.#lotRows = new LotRows(lp, instance)
    for (const [drum, model] of instance.drums.entries()) {
      const ways = waysOf(instance, model, drum)
      const one = ways.length > 1 ? lp.addRow(Number.NEGATIVE_INFINITY, 1) : null
      for (const way of ways) this.#addWay(way, model, one, demandRows)
    }
  }

  solve(limit: WholeLimit): ReturnType<LinearProgram['solveWhole']> {
    const choices = this.#choices.map((c) => c.column)
    const parts = [...this.#parts.values()].flatMap((p) => p.wholeColumns)
    return this.#lp.solveWhole([...choices, ...parts, ...this.#whole, ...this.#lotRows.columns], limit)
  }

  patterns(catalog: Catalog, values: Float64Array): Pattern[] {
    const { drums, items } = this.#instance
    const chosen = new Map<Way, Taken[][]>()
    const take = ({ way, stretch }: Spot, taken: Taken) => {
      const all = chosen.get(way) ?? way.stretches.map(() => [])
      all[stretch]!.push(taken)
      chosen.set(way, all)
    }
    for (const { column, taken, ...spot } of this.#choices) {
      const count = Math.round(values[column]!)
      if (count > 0) take(spot, { ...taken, count })
    }
    for (const parts of this.#parts.values())
      for (const { where, taken } of parts.cutBy(values)) take(where, taken)
    return [...chosen].flatMap(([{ drum, place, division, stretches }, taken]) => {
      const pattern = layOut(catalog, items, drums[drum]!, drum, place, division, within(taken, stretches))
      return pattern ? [pattern] : []
    })
  }

  dispose(): void {
    this.#lp.dispose()
  }

  /** A row for the pieces of an item, those that are left among them; its number. */
  #addDemand(item: Item): number {
    const lp = this.#lp
    const parts = inParts(item)
    const one = parts ? MORE_THAN_WHOLE : 1
    const row = lp.addRow(item.demand * one, parts ? Number.POSITIVE_INFINITY : item.demand)
    for (const { weightMicro, pieces } of item.tiers) {
      const left = lp.addColumn(weightMicro / MICRO, 0, pieces, [row], [one])
      // a piece that came in part only would be none
      if (parts) this.#whole.push(left)
    }
    if (parts) this.#parts.set(item.index, new PartsServed(item, lp, this.#rules, row))
    return row
  }

  #addWay(way: Way, model: DrumModel, one: number | null, demandRows: number[]): void {
    const lp = this.#lp
    const place = model.places[way.place]!
    const runs = runsOf(way.stretches).map(({ first, last, lengthM }) => {
      return { first, last, lengthM, row: lp.addRow(Number.NEGATIVE_INFINITY, one === null ? lengthM : 0) }
    })
    if (one !== null)
      this.#whole.push(
        lp.addColumn(0, 0, 1, [one, ...runs.map((r) => r.row)], [1, ...runs.map((r) => -r.lengthM)]),
      )
    const { lot } = model.usable.drum
    for (const item of this.#instance.items) {
      const parts = this.#parts.get(item.index)
      const cuttings = parts ? [] : cuttingsOf(item, place)
      for (const [stretch, open] of way.stretches.entries()) {
        if (!open.allowed[item.index]) continue
        const lengthRows = runs.filter((r) => r.first <= stretch && r.last >= stretch).map((r) => r.row)
        const enter = (amount: number, rows: number[], values: number[]) =>
          this.#lotRows.enter(item.index, lot, amount, rows, values)
        parts?.add({ way, stretch }, { place, stretch: open, lengthRows, enter })
        for (const { option, cutUm, costEur } of cuttings) {
          const most = Math.min(item.demand, Math.floor((open.toUm - open.fromUm) / cutUm))
          if (most === 0) continue
          const at = [demandRows[item.index]!, ...lengthRows]
          const values = [1, ...lengthRows.map(() => cutUm / MICRO)]
          enter(1, at, values)
          const taken = { item: item.index, option, group: item.options[option]!.group, cutUm }
          this.#choices.push({ column: lp.addColumn(costEur, 0, most, at, values), way, stretch, taken })
        }
      }
    }
  }
}

/** One way to cut a piece at a place: in full, or at its shortest. */
interface Cutting {
  option: number
  cutUm: LengthUm
  costEur: number
}

function cuttingsOf(item: Item, place: Place): Cutting[] {
  const cuttings: Cutting[] = []
  const full = optionFor(item, [place])
  if (full) cuttings.push({ option: full.option, cutUm: item.cutUm, costEur: 0 })
  const short = item.shortest && optionFor(item, [place], item.shortest.declaredUm)
  if (short) cuttings.push({ option: short.option, cutUm: item.shortest!.cutUm, costEur: SHORTEST_EUR })
  return cuttings
}

/** Ways to mount a drum, without those that let in nothing that another does not. */
function waysOf({ items }: TypeInstance, model: DrumModel, drum: number): Way[] {
  const taken = model.places.map(
    (place) => new Set(items.filter((i) => mayLie(i, place)).map((i) => i.index)),
  )
  // of two that let in the same the cheaper comes first
  const places = [...model.places.keys()].sort(
    (a, b) => taken[b]!.size - taken[a]!.size || model.places[a]!.mountMicro - model.places[b]!.mountMicro,
  )
  const kept: number[] = []
  for (const place of places)
    if (!kept.some((k) => [...taken[place]!].every((i) => taken[k]!.has(i)))) kept.push(place)
  return kept.flatMap((place) =>
    model.divisions.flatMap((stretches, division) =>
      // what slides can do all that the finest can
      division === 0 && model.divisions.length > 1 ? [] : [{ drum, place, division, stretches }],
    ),
  )
}

function mayLie(item: Item, place: Place): boolean {
  return item.options.some((o) => placeTakes(place, item, o.putup))
}

/**
 * Stretches one after the other whose pieces lie together between the outer edge of the first and the inner edge of the last. Where
 * each overlaps the next, no more than that is asked of all runs for a place to be found for all pieces.
 */
function runsOf(stretches: Fillable[]): { first: number; last: number; lengthM: number }[] {
  return stretches.flatMap(({ fromUm }, first) => {
    const apart = stretches.findIndex((s, k) => k >= first && (stretches[k + 1]?.fromUm ?? s.toUm) >= s.toUm)
    return stretches
      .slice(first, apart + 1)
      .map(({ toUm }, n) => ({ first, last: first + n, lengthM: (toUm - fromUm) / MICRO }))
  })
}

/** What fits of it to the micrometre: the library keeps to its rows only roughly. */
function within(taken: Taken[][], stretches: Fillable[]): Taken[][] {
  let endUm = 0
  return taken.map((of, s) => {
    const { fromUm, toUm } = stretches[s]!
    endUm = Math.max(endUm, fromUm)
    return of.flatMap((t) => {
      const count = Math.min(t.count, Math.max(0, Math.floor((toUm - endUm) / t.cutUm)))
      endUm += count * t.cutUm
      return count === 0 ? [] : [{ ...t, count }]
    })
  })
}
