/**
 * The most that is earned where pieces of a tolerance leave up to so many cells more for short ones, the first of them, which may be
 * rounding, for nothing: a maximum over a window that only moves on.
 */
export class SlidingMost {
  #deque = new Int32Array(0)
  #head = 0
  #tail = 0
  #next = 0
  #table: Float64Array = new Float64Array(0)
  #room = 0
  #spare = 0
  #loss = 0

  begin(table: Float64Array, room: number, spareCells: number, lossMicro: number): void {
    if (this.#deque.length < table.length) this.#deque = new Int32Array(table.length)
    this.#room = room
    this.#table = table
    this.#spare = spareCells
    this.#loss = lossMicro
    this.#head = 0
    this.#tail = 0
    this.#next = 0
  }

  /** Short pieces have the cells `z` and up to `spare` of the others. Of growing `z`, and from −spare on. */
  at(z: number): number {
    const table = this.#table
    const deque = this.#deque
    const loss = this.#loss
    const last = Math.min(z + this.#spare, this.#room)
    while (this.#next <= last) {
      const value = table[this.#next]! - loss * this.#next
      while (this.#tail > this.#head) {
        const y = deque[this.#tail - 1]!
        if (table[y]! - loss * y > value) break
        this.#tail--
      }
      deque[this.#tail++] = this.#next++
    }
    while (this.#head < this.#tail && deque[this.#head]! <= z) this.#head++
    if (this.#head === this.#tail) return table[this.#room]!
    const y = deque[this.#head]!
    return table[y]! - loss * (y - z - 1)
  }
}
