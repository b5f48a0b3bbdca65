import { chunks } from './chunks.ts'
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

/** By stock and stretch; null where nothing is to be cut. */
export type StretchTargets = (StretchTarget | null)[][]

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

/** Counts that a stretch can give, by growing slack: what it then costs more than its least. */
export interface StretchCounts {
  counts: Int32Array
  slacks: Float64Array
}

/**
 * One stretch at prices of the pieces: the least it can cost, and for each count of the first so many counted kinds how much more than the
 * least, as long as that is within a budget. Knapsacks run backward, from what is left over to what is cut first, so that they say what
 * is still to come of a stretch of which so much is cut.
 */
export class CountedStretch {
  /** Least of cost less prices. */
  readonly least: number
  readonly #length: number
  readonly #choice: StretchChoice
  readonly #rest: RestCost
  readonly #asked: CountedPrices
  /** By how many of the counted kinds are decided: the least of what is to come, by cells cut. */
  readonly #decided: Float64Array[] = []

  constructor(length: number, choice: StretchChoice, rest: RestCost, asked: CountedPrices) {
    this.#length = length
    this.#choice = choice
    this.#rest = rest
    this.#asked = asked
    const { kinds, counted } = asked
    const table = this.#ends()
    for (const pass of this.#otherPasses(counted.kinds.length)) takeBack(table, pass)
    this.#decided.push(table.slice())
    for (const i of counted.kinds.toReversed()) {
      for (const pass of this.#passes(i, kinds[i]!)) takeBack(table, pass)
      this.#decided.unshift(table.slice())
    }
    this.least = Math.min(choice.untouched ? 0 : Number.POSITIVE_INFINITY, table[0]!)
  }

  /** All counts of the first kinds within the budget; null when there are more than `most`. */
  counts(kindsCounted: number, budget: number, most: number): StretchCounts | null {
    const found = new Map<number, number>()
    const { counted, kinds, prices, cell } = this.#asked
    const decide = (decided: number, cells: number, cost: number, count: number): void => {
      const slack = cost + this.#decided[decided]![cells]! - this.least
      if (slack > budget || found.size > most) return
      if (decided === kindsCounted) {
        found.set(count, slack)
        return
      }
      const i = counted.kinds[decided]!
      const step = kinds[i]!.length / cell
      for (let n = 0; n <= kinds[i]!.demand && cells + n * step < this.#decided[0]!.length; n++)
        decide(decided + 1, cells + n * step, cost - n * prices[i]!, count + (n << counted.shifts[decided]!))
    }
    decide(0, 0, 0, 0)
    if (this.#choice.untouched && -this.least <= budget)
      found.set(0, Math.min(found.get(0) ?? Number.POSITIVE_INFINITY, -this.least))
    if (found.size > most) return null
    const sorted = [...found].sort((a, b) => a[1] - b[1])
    return {
      counts: Int32Array.from(sorted, ([count]) => count),
      slacks: Float64Array.from(sorted, ([, slack]) => slack),
    }
  }

  /** What the stretch gives with this count of the first kinds at the least cost; null when that is nothing. */
  target(kindsCounted: number, count: number): StretchTarget | null {
    const { kinds, counted, cell } = this.#asked
    const cut: StretchCut = []
    let cells = 0
    counted.kinds.slice(0, kindsCounted).forEach((kind, k) => {
      const n = (count >>> counted.shifts[k]!) & ((1 << countBits(kinds[kind]!)) - 1)
      if (n === 0) return
      cut.push({ kind, count: n })
      cells += (n * kinds[kind]!.length) / cell
    })
    const table = this.#ends()
    const passes = this.#otherPasses(kindsCounted)
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

  /** All kinds but the first so many that are counted. */
  #otherPasses(kindsCounted: number): Pass[] {
    const { kinds, counted } = this.#asked
    const first = counted.kinds.slice(0, kindsCounted)
    return kinds.flatMap((kind, i) => (first.includes(i) ? [] : this.#passes(i, kind)))
  }

  #passes(i: number, { length, demand }: StockKind): Pass[] {
    const { prices, cell } = this.#asked
    return chunks(Math.min(demand, Math.floor(this.#length / length))).map((copies) => ({
      cells: (copies * length) / cell,
      worth: copies * prices[i]!,
    }))
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
