import { type CountedKinds, countBits } from './counted-kinds.ts'
import type { StockKind } from './stock-kinds.ts'
import type { StretchCut } from './stock-layout.ts'
import type { RestCost } from './stock-problem.ts'

/** What a stretch may be: not cut at all, left with a leftover that is kept, or with one that is scrap. */
export interface StretchChoice {
  untouched: boolean
  kept: boolean
  used: boolean
}

/** A stretch as the counting wants it: counted pieces, and the length that other pieces should take. */
export interface StretchTarget {
  cut: StretchCut
  otherLength: number
}

/**
 * All that a stretch is asked with: kinds, which of them are counted, what a piece of each earns in units of 1/fine of a cost unit, the
 * length of a cell.
 */
export interface CountedPrices {
  kinds: readonly StockKind[]
  counted: CountedKinds
  prices: Float64Array
  fine: number
  cell: number
}

interface Pass {
  cells: number
  worth: number
}

/**
 * One stretch at prices of the pieces: the least it can cost, and for each count of the counted kinds how much more than the least, as long
 * as that is within a budget. Knapsacks run backward, from what is left over to what is cut first, so that they say what is still to
 * come of a stretch of which so much is cut.
 */
export class CountedStretch {
  /** Least of cost less prices. */
  readonly least: number
  /** Counts within the budget, by growing slack. */
  counts = new Int32Array(0)
  slacks = new Float64Array(0)
  readonly #length: number
  readonly #choice: StretchChoice
  readonly #rest: RestCost
  readonly #asked: CountedPrices
  /** By how many of the counted kinds are still open: the least of what is to come, by cells cut. */
  readonly #open: Float64Array[] = []

  constructor(length: number, choice: StretchChoice, rest: RestCost, asked: CountedPrices) {
    this.#length = length
    this.#choice = choice
    this.#rest = rest
    this.#asked = asked
    const { kinds, counted } = asked
    const table = this.#ends()
    for (const pass of this.#otherPasses()) takeBack(table, pass)
    this.#open.push(table.slice())
    for (const i of counted.kinds) {
      for (const pass of this.#passes(i, kinds[i]!)) takeBack(table, pass)
      this.#open.push(table.slice())
    }
    this.least = Math.min(choice.untouched ? 0 : Number.POSITIVE_INFINITY, table[0]!)
  }

  /** Finds all counts within the budget; false when there are more than `most`. */
  find(budget: number, most: number): boolean {
    const found = new Map<number, number>()
    const { counted, kinds, prices, cell } = this.#asked
    const decide = (open: number, cells: number, cost: number, count: number): void => {
      const slack = cost + this.#open[open]![cells]! - this.least
      if (slack > budget || found.size > most) return
      if (open === 0) {
        found.set(count, slack)
        return
      }
      const i = counted.kinds[open - 1]!
      const step = kinds[i]!.length / cell
      for (let n = 0; n <= kinds[i]!.demand && cells + n * step < this.#open[0]!.length; n++)
        decide(open - 1, cells + n * step, cost - n * prices[i]!, count + (n << counted.shifts[open - 1]!))
    }
    decide(counted.kinds.length, 0, 0, 0)
    if (this.#choice.untouched && -this.least <= budget)
      found.set(0, Math.min(found.get(0) ?? Number.POSITIVE_INFINITY, -this.least))
    const sorted = [...found].sort((a, b) => a[1] - b[1])
    this.counts = Int32Array.from(sorted, ([count]) => count)
    this.slacks = Float64Array.from(sorted, ([, slack]) => slack)
    return found.size <= most
  }

  /** What the stretch gives with this count at the least cost; null when that is nothing. */
  target(count: number): StretchTarget | null {
    const { kinds, counted, cell } = this.#asked
    const cut: StretchCut = []
    let cells = 0
    counted.kinds.forEach((kind, k) => {
      const n = (count >>> counted.shifts[k]!) & ((1 << countBits(kinds[kind]!)) - 1)
      if (n === 0) return
      cut.push({ kind, count: n })
      cells += (n * kinds[kind]!.length) / cell
    })
    const table = this.#ends()
    const passes = this.#otherPasses()
    const taken = passes.map((pass) => takeBack(table, pass))
    if (count === 0 && this.#choice.untouched && table[0]! >= 0) return null
    let otherCells = 0
    for (let p = passes.length - 1; p >= 0; p--)
      if (taken[p]![cells + otherCells] === 1) otherCells += passes[p]!.cells
    return { cut, otherLength: otherCells * cell }
  }

  /** Costs of ending with so many cells cut. */
  #ends(): Float64Array {
    const { cell, fine } = this.#asked
    const ends = new Float64Array(Math.floor(this.#length / cell) + 1)
    for (let cells = 0; cells < ends.length; cells++) {
      const rest = this.#length - cells * cell
      const may = rest >= this.#rest.scrapBelow ? this.#choice.kept : this.#choice.used
      ends[cells] = may && cells > 0 ? this.#rest.cost(rest) * fine : Number.POSITIVE_INFINITY
    }
    return ends
  }

  #otherPasses(): Pass[] {
    const { kinds, counted } = this.#asked
    return kinds.flatMap((kind, i) => (counted.kinds.includes(i) ? [] : this.#passes(i, kind)))
  }

  /** Chunks of 1, 2, 4 … copies. */
  #passes(i: number, { length, demand }: StockKind): Pass[] {
    const { prices, cell } = this.#asked
    const passes: Pass[] = []
    let left = Math.min(demand, Math.floor(this.#length / length))
    for (let chunk = 1; left > 0; chunk *= 2) {
      const copies = Math.min(chunk, left)
      left -= copies
      passes.push({ cells: (copies * length) / cell, worth: copies * prices[i]! })
    }
    return passes
  }
}

/** Offers a chunk to every length, shortest first, so that it is taken once; answers where it was taken. */
function takeBack(table: Float64Array, { cells, worth }: Pass): Uint8Array {
  const taken = new Uint8Array(table.length)
  for (let y = 0; y + cells < table.length; y++) {
    const cost = table[y + cells]! - worth
    if (cost < table[y]!) {
      table[y] = cost
      taken[y] = 1
    }
  }
  return taken
}
