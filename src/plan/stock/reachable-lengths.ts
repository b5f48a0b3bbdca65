import { chunks } from './chunks.ts'

/**
 * Which lengths, in cells, pieces of these lengths and counts can add up to: one bit a length, a shift and an or for each chunk of 1,
 * 2, 4 … copies.
 */
export class ReachableLengths {
  readonly cells: number
  readonly #bits: Uint32Array

  constructor(cells: number, pieces: readonly { length: number; count: number }[]) {
    this.cells = cells
    this.#bits = new Uint32Array((cells >>> 5) + 1)
    this.#bits[0] = 1
    for (const { length, count } of pieces) {
      for (const copies of chunks(Math.min(count, Math.floor(cells / length))))
        this.#orShifted(copies * length)
    }
  }

  has(cell: number): boolean {
    return ((this.#bits[cell >>> 5]! >>> (cell & 31)) & 1) === 1
  }

  #orShifted(by: number): void {
    const words = by >>> 5
    const shift = by & 31
    const bits = this.#bits
    // from the top down, so that a chunk is taken once
    for (let w = bits.length - 1; w >= words; w--) {
      const low = bits[w - words]! << shift
      const high = shift > 0 && w > words ? bits[w - words - 1]! >>> (32 - shift) : 0
      bits[w] = bits[w]! | low | high
    }
  }
}
