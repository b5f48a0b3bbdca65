import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import { type Cut, layOut, type Pattern } from './pattern.ts'
import { takenUm } from './runs.ts'
import type { Taken } from './stretch-fill.ts'
import { type TypeSolution, unservedOf } from './type-solution.ts'

/** One drum as it stands: what is taken from each of its stretches. Never changed, only replaced. */
export interface Standing {
  place: number
  division: number
  taken: Taken[][]
  /** Length that is taken of each stretch. */
  lengthsUm: LengthUm[]
  /** With what it counts that the drum is not as it was. */
  costMicro: MicroEur
}

/** A drum that stands otherwise. */
export interface Changed {
  drum: number
  standing: Standing
}

/** Mountings of an old plan that are to stay as far as may be, by drum, and what each counts that does not. */
export interface Staying {
  patterns: ReadonlyMap<number, Pattern>
  /** Drums that cannot stay as they were, whatever becomes of them. */
  broken: ReadonlySet<number>
  changeMicro: MicroEur
}

/** Service comes first: a euro unserved weighs more than any saving that leaving it unserved could bring. */
const SERVICE_WEIGHT = 200

/** Where all pieces of a cable type are, and what that costs. */
export class Standings {
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  /** Which line that costs a change of cable each place of a drum is, −1 where it is none; and what each line costs. */
  readonly #lines: number[][]
  readonly #fixedMicro: MicroEur[]
  /** Drums mounted on each of these lines. */
  readonly #mounted: number[]
  /** How many kinds of pieces of a lot group come from each lot, where any do. */
  readonly #lots = new Map<string, Map<string, number>>()
  readonly #staying: Staying | null
  #from: ReadonlyMap<number, Pattern> = new Map()
  drums: Standing[] = []
  missing: Taken[] = []
  /** What the lines in use cost, and what is missing. */
  #besideMicro: MicroEur = 0

  constructor(catalog: Catalog, instance: TypeInstance, staying: Staying | null) {
    this.#catalog = catalog
    this.#staying = staying
    this.#instance = instance
    const lines = [...instance.lineFixed.keys()]
    this.#fixedMicro = [...instance.lineFixed.values()]
    this.#lines = instance.drums.map((d) => d.places.map((p) => lines.indexOf(p.id)))
    this.#mounted = lines.map(() => 0)
  }

  /** As a plan has it. */
  begin(from: TypeSolution): void {
    const { drums, items } = this.#instance
    this.#from = new Map(from.patterns.map((p) => [p.drum, p]))
    this.drums = drums.map((model, d) => {
      const pattern = this.#from.get(d)
      const division = pattern?.division ?? 0
      const taken = model.divisions[division]!.map((_, s) => [...(pattern?.taken[s] ?? [])])
      const lengthsUm = taken.map((of) => takenUm(items, of))
      const cut = { place: pattern?.place ?? 0, division, taken }
      const costMicro = (pattern?.costMicro ?? 0) + this.changeMicro(d, cut)
      return { ...cut, lengthsUm, costMicro }
    })
    this.#mounted.fill(0)
    this.#lots.clear()
    for (const [drum, standing] of this.drums.entries()) this.#count(drum, standing, 1)
    // a piece in parts that is missing stays so: its parts would have to be found anew
    this.missing = items.flatMap((item): Taken[] => {
      const count = Math.ceil(from.missing[item.index]! - 1e-7)
      const option = item.options.findIndex((o) => o.mostDeclaredUm >= item.declaredUm)
      if (count <= 0 || item.split || option < 0) return []
      const { group } = item.options[option]!
      return [{ item: item.index, option, group, count, cutUm: item.cutUm }]
    })
    this.#besideMicro = this.#beside(this.#mounted, this.missing)
  }

  get costMicro(): MicroEur {
    return this.drums.reduce((sum, s) => sum + s.costMicro, this.#besideMicro)
  }

  /** What it counts that a drum is not as it was. */
  changeMicro(drum: number, cut: Cut): MicroEur {
    const staying = this.#staying
    if (!staying || staying.broken.has(drum)) return 0
    const old = staying.patterns.get(drum)
    return (old ? isSameCut(old, cut) : isEmpty(cut.taken)) ? 0 : staying.changeMicro
  }

  /** What these drums and what is missing would cost more than now. */
  differenceMicro(changed: Changed[], missing: Taken[]): MicroEur {
    const mounted = [...this.#mounted]
    let sum = 0
    for (const { drum, standing } of changed) {
      const before = this.drums[drum]!
      sum += standing.costMicro - before.costMicro
      this.#countMounted(mounted, drum, before, -1)
      this.#countMounted(mounted, drum, standing, 1)
    }
    return sum + this.#beside(mounted, missing) - this.#besideMicro
  }

  change(changed: Changed[], missing: Taken[]): void {
    for (const { drum, standing } of changed) {
      this.#count(drum, this.drums[drum]!, -1)
      this.#count(drum, standing, 1)
      this.drums[drum] = standing
    }
    this.missing = missing
    this.#besideMicro = this.#beside(this.#mounted, missing)
  }

  /** A drum that is as the plan had it, or as it is to stay, is the very pattern. */
  patternsOf(drums: Standing[]): Pattern[] {
    const { items, drums: models } = this.#instance
    return drums.flatMap(({ place, division, taken }, d) => {
      for (const known of [this.#from.get(d), this.#staying?.patterns.get(d)])
        if (known && isSameCut(known, { place, division, taken })) return [known]
      const pattern = layOut(this.#catalog, items, models[d]!, d, place, division, taken)
      return pattern ? [pattern] : []
    })
  }

  /** Whether all that is served of a lot group comes from this lot. */
  comesFrom(group: string, lot: string): boolean {
    const lots = this.#lots.get(group)
    return !lots || lots.size === 0 || (lots.size === 1 && lots.has(lot))
  }

  #countMounted(mounted: number[], drum: number, { place, taken }: Standing, by: 1 | -1): void {
    const line = this.#lines[drum]![place]!
    if (line >= 0 && !isEmpty(taken)) mounted[line]! += by
  }

  #count(drum: number, standing: Standing, by: 1 | -1): void {
    this.#countMounted(this.#mounted, drum, standing, by)
    const { items, drums } = this.#instance
    const { lot } = drums[drum]!.usable.drum
    for (const stretch of standing.taken)
      for (const t of stretch) {
        const { group } = items[t.item]!
        if (group !== null) this.#countLot(group, lot, by)
      }
  }

  #countLot(group: string, lot: string, by: 1 | -1): void {
    const lots = this.#lots.get(group) ?? new Map<string, number>()
    this.#lots.set(group, lots)
    const count = (lots.get(lot) ?? 0) + by
    if (count === 0) lots.delete(lot)
    else lots.set(lot, count)
  }

  /** What the lines cost with so many drums on each, and what is missing. */
  #beside(mounted: number[], missing: Taken[]): MicroEur {
    const { items } = this.#instance
    let sum = 0
    for (const [n, micro] of this.#fixedMicro.entries()) if (mounted[n]! > 0) sum += micro
    for (const { item, count } of missing) {
      const wanted = items[item]!
      sum += SERVICE_WEIGHT * unservedOf(wanted, count) + count * wanted.creditMicro
    }
    return sum
  }
}

/** Whether the same is cut in the same way, in whatever order it was taken. */
function isSameCut(a: Cut, b: Cut): boolean {
  if (a.place !== b.place || a.division !== b.division) return false
  // a pattern may end with the last stretch that something is taken from
  for (let s = Math.max(a.taken.length, b.taken.length) - 1; s >= 0; s--) {
    const of = a.taken[s] ?? []
    const other = b.taken[s] ?? []
    if (of.length !== other.length) return false
    if (!of.every((t) => other.some((u) => isSameTaken(t, u)))) return false
  }
  return true
}

function isSameTaken(a: Taken, b: Taken): boolean {
  return a.item === b.item && a.option === b.option && a.cutUm === b.cutUm && a.count === b.count
}

export function isEmpty(taken: Taken[][]): boolean {
  return taken.every((of) => of.length === 0)
}
