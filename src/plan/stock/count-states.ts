/** The least slack at which each count can be reached; counts are whole numbers (see `CountedKinds`). A hash table that only grows. */
export class CountStates {
  keys = new Int32Array(64)
  slacks = new Float64Array(64)
  size = 0
  #slots = new Int32Array(128)
  #shift = 25

  /** Keeps the lesser slack. */
  offer(key: number, slack: number): void {
    const slot = this.#slot(key)
    const at = this.#slots[slot]! - 1
    if (at >= 0) {
      if (slack < this.slacks[at]!) this.slacks[at] = slack
      return
    }
    if (this.size === this.keys.length) {
      this.#grow()
      this.offer(key, slack)
      return
    }
    this.keys[this.size] = key
    this.slacks[this.size] = slack
    this.#slots[slot] = ++this.size
  }

  /** Infinity where the count cannot be reached. */
  slackOf(key: number): number {
    const at = this.#slots[this.#slot(key)]! - 1
    return at < 0 ? Number.POSITIVE_INFINITY : this.slacks[at]!
  }

  /** The slot of a key, or the free one where it would go. */
  #slot(key: number): number {
    const mask = this.#slots.length - 1
    // multiplicative hashing (Knuth, The Art of Computer Programming 3, 6.4)
    let slot = Math.imul(key, 0x9e3779b1) >>> this.#shift
    for (;;) {
      const at = this.#slots[slot]! - 1
      if (at < 0 || this.keys[at] === key) return slot
      slot = (slot + 1) & mask
    }
  }

  #grow(): void {
    const { keys, slacks, size } = this
    this.keys = new Int32Array(2 * keys.length)
    this.slacks = new Float64Array(2 * keys.length)
    this.keys.set(keys)
    this.slacks.set(slacks)
    this.#slots = new Int32Array(4 * keys.length)
    this.#shift--
    for (let at = 0; at < size; at++) this.#slots[this.#slot(keys[at]!)] = at + 1
  }
}
