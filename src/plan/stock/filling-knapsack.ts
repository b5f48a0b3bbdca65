/** Pieces on offer to one bar: lengths, most copies, and what one is worth, a whole number. */
export interface Offers {
  lengths: Int32Array
  caps: Int32Array
  worths: Float64Array
}

/** Something that finds the most valuable filling of a bar, exactly. */
export interface FillingKnapsack {
  /** Takes the offers; bars up to `longest` can then be asked for. */
  load(offers: Offers, longest: number): void
  /** The greatest worth of pieces whose lengths add up to at most `length`. */
  best(length: number): number
  /** Counts of the pieces behind `best(length)`. */
  counts(length: number): Int32Array
}

/**
 * Bounded knapsack by dynamic programming over every length up to the bar, in chunks of 1, 2, 4 … copies. Exact while worths and
 * their sums stay whole numbers below 2^53. Work and memory grow with bar length × pieces: for long bars see
 * `branching-knapsack.ts`.
 */
export class TableKnapsack implements FillingKnapsack {
  table = new Float64Array(0)
  #taken = new Uint8Array(0)
  #passes: { piece: number; copies: number; length: number }[] = []
  #width = 0
  #pieces = 0

  load(offers: Offers, longest: number): void {
    const { lengths, caps, worths } = offers
    this.#pieces = lengths.length
    this.#width = longest + 1
    if (this.table.length < this.#width) this.table = new Float64Array(this.#width)
    this.table.fill(0, 0, this.#width)
    this.#passes = []
    for (let i = 0; i < lengths.length; i++) {
      if (worths[i]! <= 0) continue
      let left = Math.min(caps[i]!, Math.floor(longest / lengths[i]!))
      for (let chunk = 1; left > 0; chunk *= 2) {
        const copies = Math.min(chunk, left)
        left -= copies
        this.#passes.push({ piece: i, copies, length: copies * lengths[i]! })
      }
    }
    const size = this.#passes.length * this.#width
    if (this.#taken.length < size) this.#taken = new Uint8Array(size)
    this.#taken.fill(0, 0, size)
    for (let p = 0; p < this.#passes.length; p++) {
      const { piece, copies, length } = this.#passes[p]!
      takeChunk(this.table, this.#taken, p * this.#width, this.#width, length, copies * worths[piece]!)
    }
  }

  best(length: number): number {
    return this.table[length]!
  }

  counts(length: number): Int32Array {
    const counts = new Int32Array(this.#pieces)
    let x = length
    for (let p = this.#passes.length - 1; p >= 0; p--) {
      if (this.#taken[p * this.#width + x] === 0) continue
      const pass = this.#passes[p]!
      counts[pass.piece] = counts[pass.piece]! + pass.copies
      x -= pass.length
    }
    return counts
  }
}

/** One more chunk offered to every length: the inner loop of it all, kept apart so that it is compiled well. */
function takeChunk(
  table: Float64Array,
  taken: Uint8Array,
  at: number,
  width: number,
  length: number,
  worth: number,
): void {
  for (let x = width - 1; x >= length; x--) {
    const value = table[x - length]! + worth
    if (value > table[x]!) {
      table[x] = value
      taken[at + x] = 1
    }
  }
}
