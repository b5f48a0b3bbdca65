import { type Count, type CountLimit, countKey } from './branching.ts'
import type { LinearProgram } from './linear-program.ts'

/** What of a column is counted. */
export interface Counted {
  column: number
  drum: number
  /** By item: pieces, or for a piece in parts the share of it. */
  amounts: ReadonlyMap<number, number>
}

const MICRO = 1e6

/** Rows of the master program that hold a count within the limits that branching sets; made when first asked for. */
export class CountRows {
  readonly #lp: LinearProgram
  readonly #neverEur: number
  readonly #rows = new Map<string, { count: Count; row: number }>()

  constructor(lp: LinearProgram, neverEur: number) {
    this.#lp = lp
    this.#neverEur = neverEur
  }

  limit(limits: ReadonlyMap<string, CountLimit>, columns: Counted[]): void {
    for (const [key, { row }] of this.#rows) {
      const limit = limits.get(key)
      this.#lp.setRowBounds(
        row,
        limit?.least ?? Number.NEGATIVE_INFINITY,
        limit?.most ?? Number.POSITIVE_INFINITY,
      )
    }
    for (const [key, limit] of limits) if (!this.#rows.has(key)) this.#add(key, limit, columns)
  }

  /** Adds the entries of a new column. */
  enter(counted: Omit<Counted, 'column'>, rows: number[], values: number[]): void {
    for (const { count, row } of this.#rows.values()) {
      const value = countOf(count, counted)
      if (value === 0) continue
      rows.push(row)
      values.push(value)
    }
  }

  /** What one more of each count is worth, from the duals of all rows. */
  duals(all: Float64Array): Map<string, number> {
    return new Map([...this.#rows].map(([key, { row }]) => [key, Math.round(all[row]! * MICRO)]))
  }

  #add(key: string, limit: CountLimit, columns: Counted[]): void {
    const count: Count = { drum: limit.drum, what: limit.what, number: limit.number }
    const at: number[] = []
    const values: number[] = []
    for (const counted of columns) {
      const value = countOf(count, counted)
      if (value === 0) continue
      at.push(counted.column)
      values.push(value)
    }
    const row = this.#lp.addRow(limit.least, limit.most, at, values)
    this.#rows.set(key, { count, row })
    // so that the program always has a solution
    this.#lp.addColumn(this.#neverEur, 0, Number.POSITIVE_INFINITY, [row], [1])
  }
}

export function countOf({ drum, what, number }: Count, counted: Omit<Counted, 'column'>): number {
  if (drum !== null && drum !== counted.drum) return 0
  if (what === 'mounted') return 1
  return counted.amounts.get(number) ?? 0
}

/** A price counts only where there is a limit that it could come from. */
function priceOf(limit: CountLimit, dual: number): number {
  return dual < 0 && limit.most === Number.POSITIVE_INFINITY ? 0 : dual
}

/** What prices pay for the limits themselves. */
export function paidForCounts(
  limits: ReadonlyMap<string, CountLimit>,
  duals: ReadonlyMap<string, number>,
): number {
  let paid = 0
  for (const [key, limit] of limits) {
    const price = priceOf(limit, duals.get(key) ?? 0)
    if (price !== 0) paid += price * (price > 0 ? limit.least : limit.most)
  }
  return paid
}

/** What one more of a count is worth on one drum, of the limits in force for it and for all drums together. */
export function countPrice(
  limits: ReadonlyMap<string, CountLimit>,
  duals: ReadonlyMap<string, number>,
  drum: number,
  what: Count['what'],
  number: number,
): number {
  let sum = 0
  for (const where of [drum, null]) {
    const key = countKey({ drum: where, what, number })
    const limit = limits.get(key)
    if (limit) sum += priceOf(limit, duals.get(key) ?? 0)
  }
  return sum
}
