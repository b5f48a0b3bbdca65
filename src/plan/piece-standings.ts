import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import { layOut, type Pattern } from './pattern.ts'
import type { Taken } from './stretch-fill.ts'
import { type TypeSolution, unservedOf } from './type-solution.ts'

/** One drum as it stands: what is taken from each of its stretches. Never changed, only replaced. */
export interface Standing {
  place: number
  division: number
  taken: Taken[][]
  /** 0 where nothing is taken. */
  costMicro: MicroEur
}

/** A drum that stands otherwise. */
export interface Changed {
  drum: number
  standing: Standing
}

/** Service comes first: a euro unserved weighs more than any saving that leaving it unserved could bring. */
const SERVICE_WEIGHT = 200

/** Where all pieces of a cable type are, and what that costs. */
export class Standings {
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  /** Lines that cost a change of cable, as bits, by drum and place; and what each costs. */
  readonly #lineBits: number[][]
  readonly #fixedMicro: MicroEur[]
  drums: Standing[] = []
  missing: Taken[] = []
  /** What the lines in use cost, and what is missing. */
  #besideMicro: MicroEur = 0

  constructor(catalog: Catalog, instance: TypeInstance) {
    this.#catalog = catalog
    this.#instance = instance
    const lines = [...instance.lineFixed.keys()]
    this.#fixedMicro = [...instance.lineFixed.values()]
    this.#lineBits = instance.drums.map((d) =>
      d.places.map((p) => (lines.includes(p.id) ? 1 << lines.indexOf(p.id) : 0)),
    )
  }

  /** As a plan has it. */
  begin(from: TypeSolution): void {
    const { drums, items } = this.#instance
    this.drums = drums.map((model, d) => {
      const pattern = from.patterns.find((p) => p.drum === d)
      const division = pattern?.division ?? 0
      const taken = model.divisions[division]!.map((_, s) => [...(pattern?.taken[s] ?? [])])
      return { place: pattern?.place ?? 0, division, taken, costMicro: pattern?.costMicro ?? 0 }
    })
    // a piece in parts that is missing stays so: its parts would have to be found anew
    this.missing = items.flatMap((item): Taken[] => {
      const count = Math.ceil(from.missing[item.index]! - 1e-7)
      const option = item.options.findIndex((o) => o.mostDeclaredUm >= item.declaredUm)
      if (count <= 0 || item.split || option < 0) return []
      const { group } = item.options[option]!
      return [{ item: item.index, option, group, count, cutUm: item.cutUm }]
    })
    this.#besideMicro = this.#beside([], this.missing)
  }

  get costMicro(): MicroEur {
    return this.drums.reduce((sum, s) => sum + s.costMicro, this.#besideMicro)
  }

  /** What these drums and what is missing would cost more than now. */
  differenceMicro(changed: Changed[], missing: Taken[]): MicroEur {
    let sum = this.#beside(changed, missing) - this.#besideMicro
    for (const { drum, standing } of changed) sum += standing.costMicro - this.drums[drum]!.costMicro
    return sum
  }

  change(changed: Changed[], missing: Taken[]): void {
    for (const { drum, standing } of changed) this.drums[drum] = standing
    this.missing = missing
    this.#besideMicro = this.#beside([], missing)
  }

  patternsOf(drums: Standing[]): Pattern[] {
    const { items, drums: models } = this.#instance
    return drums.flatMap(({ place, division, taken }, d) => {
      const pattern = layOut(this.#catalog, items, models[d]!, d, place, division, taken)
      return pattern ? [pattern] : []
    })
  }

  /** Whether all that is served of a lot group comes from this lot. */
  comesFrom(group: string, lot: string): boolean {
    const { items, drums } = this.#instance
    // written out: asked for every piece of a group that moves
    for (let d = 0; d < drums.length; d++) {
      if (drums[d]!.usable.drum.lot === lot) continue
      for (const stretch of this.drums[d]!.taken)
        for (const t of stretch) if (items[t.item]!.group === group) return false
    }
    return true
  }

  /** The same with these drums changed. */
  #beside(changed: Changed[], missing: Taken[]): MicroEur {
    const { items } = this.#instance
    let used = 0
    for (const [d, standing] of this.drums.entries()) {
      let { place, taken } = standing
      for (const c of changed) if (c.drum === d) ({ place, taken } = c.standing)
      if (!isEmpty(taken)) used |= this.#lineBits[d]![place]!
    }
    let sum = 0
    for (const [n, micro] of this.#fixedMicro.entries()) if ((used >> n) & 1) sum += micro
    for (const { item, count } of missing) {
      const wanted = items[item]!
      sum += SERVICE_WEIGHT * unservedOf(wanted, count) + count * wanted.creditMicro
    }
    return sum
  }
}

export function isEmpty(taken: Taken[][]): boolean {
  return taken.every((of) => of.length === 0)
}
