/** Pieces of one kind on offer to a filling. */
export interface FillOffer {
  kind: number
  /** Length of one piece in cells, rounded up, and how many there are. */
  cells: number
  count: number
}

/**
 * The longest filling of a stretch: subset sums as bits, one layer a chunk of copies, so that a tail of hundreds of metres takes
 * microseconds. Pieces offered first are taken first where there is a choice.
 */
export class SubsetFill {
  #layers = new Uint32Array(1 << 14)
  #passes: { kind: number; copies: number; cells: number }[] = []

  /** Adds what it takes to `counts`; answers the cells filled. */
  run(cells: number, offers: readonly FillOffer[], counts: Int32Array): number {
    const words = (cells >>> 5) + 1
    this.#passes = []
    for (const { kind, cells: length, count } of offers) {
      let left = Math.min(count, Math.floor(cells / length))
      for (let chunk = 1; left > 0; chunk *= 2) {
        const copies = Math.min(chunk, left)
        left -= copies
        this.#passes.push({ kind, copies, cells: copies * length })
      }
    }
    const size = (this.#passes.length + 1) * words
    if (this.#layers.length < size) this.#layers = new Uint32Array(2 * size)
    const layers = this.#layers
    layers.fill(0, 0, words)
    layers[0] = 1
    let done = 0
    while (done < this.#passes.length) {
      orShifted(layers, done * words, words, this.#passes[done]!.cells)
      done++
      // once the stretch can be filled to the cell nothing more can be gained
      if (isSet(layers, done * words, cells)) break
    }
    let x = cells
    while (!isSet(layers, done * words, x)) x--
    const filled = x
    for (let p = done - 1; p >= 0; p--) {
      if (isSet(layers, p * words, x)) continue
      const pass = this.#passes[p]!
      counts[pass.kind] = counts[pass.kind]! + pass.copies
      x -= pass.cells
    }
    return filled
  }
}

function isSet(bits: Uint32Array, at: number, x: number): boolean {
  return ((bits[at + (x >>> 5)]! >>> (x & 31)) & 1) === 1
}

/** The next layer: the one at `at`, or it moved up. */
function orShifted(bits: Uint32Array, at: number, words: number, by: number): void {
  const skip = by >>> 5
  const shift = by & 31
  const to = at + words
  const whole = Math.min(skip, words)
  for (let w = 0; w < whole; w++) bits[to + w] = bits[at + w]!
  if (shift === 0) for (let w = whole; w < words; w++) bits[to + w] = bits[at + w]! | bits[at + w - skip]!
  else {
    let below = 0
    for (let w = whole; w < words; w++) {
      const here = bits[at + w - skip]!
      bits[to + w] = bits[at + w]! | (here << shift) | (below >>> (32 - shift))
      below = here
    }
  }
}
