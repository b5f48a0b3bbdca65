import { chunks } from './chunks.ts'
import type { StockKind } from './stock-kinds.ts'

/**
 * The most that pieces are worth whose lengths add up to exactly so many cells: bounded knapsack over every length, in chunks of 1, 2, 4
 * … copies. −Infinity where no pieces add up to a length. Exact while worths and sums are whole numbers below 2^53. Pieces may be worth
 * nothing or less and still serve to fill a stretch to the end.
 */
export class ExactFill {
  readonly cells: number
  readonly table: Float64Array
  readonly #passes: { kind: number; copies: number; cells: number }[] = []
  readonly #taken: Uint8Array

  constructor(kinds: readonly StockKind[], cell: number, cells: number) {
    this.cells = cells
    this.table = new Float64Array(cells + 1)
    kinds.forEach(({ length, demand }, kind) => {
      for (const copies of chunks(Math.min(demand, Math.floor((cells * cell) / length))))
        this.#passes.push({ kind, copies, cells: (copies * length) / cell })
    })
    this.#taken = new Uint8Array(this.#passes.length * (cells + 1))
  }

  /** Bytes that a fill of this size takes. */
  static bytes(kinds: readonly StockKind[], cells: number): number {
    return kinds.reduce((sum, kind) => sum + Math.ceil(Math.log2(1 + kind.demand)), 0) * cells
  }

  run(worths: Float64Array): void {
    const width = this.cells + 1
    this.table.fill(Number.NEGATIVE_INFINITY)
    this.table[0] = 0
    this.#taken.fill(0)
    let reached = 0
    this.#passes.forEach(({ kind, copies, cells }, p) => {
      reached = Math.min(this.cells, reached + cells)
      takeExact(this.table, this.#taken, p * width, reached, cells, copies * worths[kind]!)
    })
  }

  /** Pieces behind a length, by kind. */
  counts(cell: number): { kind: number; count: number }[] {
    const counts = new Map<number, number>()
    let x = cell
    for (let p = this.#passes.length - 1; p >= 0; p--) {
      if (this.#taken[p * (this.cells + 1) + x] === 0) continue
      const { kind, copies, cells } = this.#passes[p]!
      counts.set(kind, (counts.get(kind) ?? 0) + copies)
      x -= cells
    }
    return [...counts].map(([kind, count]) => ({ kind, count }))
  }
}

function takeExact(
  table: Float64Array,
  taken: Uint8Array,
  at: number,
  reached: number,
  cells: number,
  worth: number,
): void {
  for (let x = reached; x >= cells; x--) {
    const value = table[x - cells]! + worth
    if (value > table[x]!) {
      table[x] = value
      taken[at + x] = 1
    }
  }
}
