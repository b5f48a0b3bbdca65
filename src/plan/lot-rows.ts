import type { Duals } from './duals.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgram } from './linear-program.ts'
import { mostOfLot } from './service-bound.ts'

const MICRO = 1e6

/** A lot group is bound to one lot: what it takes from a lot is at most what that lot can give, times its being chosen. */
export class LotRows {
  readonly #lp: LinearProgram
  readonly #instance: TypeInstance
  /** By `item:lot`. */
  readonly #rows = new Map<string, number>()
  /** Most that a lot can give of an item, by `item:lot`. */
  readonly #most = new Map<string, number>()
  /** By `group:lot`. */
  readonly #choices = new Map<string, number>()

  constructor(lp: LinearProgram, instance: TypeInstance) {
    this.#lp = lp
    this.#instance = instance
    const { items, drums } = instance
    for (const group of new Set(items.map((i) => i.group))) {
      if (group === null) continue
      const choice = lp.addRow(Number.NEGATIVE_INFINITY, 1)
      for (const lot of new Set(drums.map((d) => d.usable.drum.lot))) {
        const rows: number[] = []
        const most: number[] = []
        for (const item of items) {
          if (item.group !== group) continue
          const row = lp.addRow(0, Number.POSITIVE_INFINITY)
          this.#rows.set(`${item.index}:${lot}`, row)
          this.#most.set(`${item.index}:${lot}`, mostOfLot(instance, item, lot))
          rows.push(row)
          most.push(mostOfLot(instance, item, lot))
        }
        this.#choices.set(`${group}:${lot}`, lp.addColumn(0, 0, 1, [choice, ...rows], [1, ...most]))
      }
    }
  }

  get columns(): number[] {
    return [...this.#choices.values()]
  }

  /** Adds the entry of a new column that gives pieces of an item from a lot. */
  enter(item: number, lot: string, amount: number, rows: number[], values: number[]): void {
    const row = this.#rows.get(`${item}:${lot}`)
    if (row === undefined) return
    rows.push(row)
    values.push(-amount)
  }

  branch(lots: ReadonlyMap<string, boolean>): void {
    for (const [key, column] of this.#choices) {
      const chosen = lots.get(key)
      this.#lp.setColumnBounds(column, chosen === true ? 1 : 0, chosen === false ? 0 : 1)
    }
  }

  /** By `group:lot`: share to which a lot is chosen. */
  shares(values: Float64Array): Map<string, number> {
    return new Map([...this.#choices].map(([key, column]) => [key, values[column]!]))
  }

  duals(all: Float64Array): Map<string, number> {
    return new Map([...this.#rows].map(([key, row]) => [key, Math.max(0, Math.round(all[row]! * MICRO))]))
  }

  /** Most that choosing lots could earn at these prices. */
  profit(duals: Duals, chosen: ReadonlyMap<string, boolean>): number {
    const byGroup = new Map<string, number>()
    for (const key of this.#choices.keys()) {
      const group = key.slice(0, key.lastIndexOf(':'))
      const lot = key.slice(key.lastIndexOf(':') + 1)
      if (lotBarred(chosen, group, lot)) continue
      let profit = 0
      for (const item of this.#instance.items) {
        if (item.group !== group) continue
        const at = `${item.index}:${lot}`
        profit += (duals.lots.get(at) ?? 0) * this.#most.get(at)!
      }
      byGroup.set(group, Math.max(byGroup.get(group) ?? 0, profit))
    }
    let sum = 0
    for (const profit of byGroup.values()) sum += profit
    return Math.ceil(sum)
  }
}

/** Whether branching keeps a lot group away from a lot. */
export function lotBarred(lots: ReadonlyMap<string, boolean>, group: string, lot: string): boolean {
  if (lots.get(`${group}:${lot}`) === false) return true
  for (const [key, chosen] of lots)
    if (chosen && key.startsWith(`${group}:`) && key !== `${group}:${lot}`) return true
  return false
}
