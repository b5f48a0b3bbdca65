/**
 * out[x] = max over y ≤ x of base[y] + gain[x − y], and from[x] the y that attains it. `base` grows, `gain` grows and is
 * concave, so the best y grows with x: halving the rows finds them all in n log n steps. Only places where `base` rises can
 * be best.
 */
export class ConcaveSum {
  #steps = new Int32Array(0)
  #stack = new Int32Array(4 * 64)

  run(
    base: Float64Array,
    gain: Float64Array,
    n: number,
    out: Float64Array,
    from: Int32Array,
    at: number,
  ): void {
    const steps = this.#stepsOf(base, n)
    const stack = this.#stack
    const places = this.#steps
    let top = 0
    const push = (lowRow: number, highRow: number, lowStep: number, highStep: number) => {
      stack[top++] = lowRow
      stack[top++] = highRow
      stack[top++] = lowStep
      stack[top++] = highStep
    }
    push(0, n - 1, 0, steps - 1)
    while (top > 0) {
      const highStep = stack[--top]!
      const lowStep = stack[--top]!
      const highRow = stack[--top]!
      const lowRow = stack[--top]!
      const row = (lowRow + highRow) >> 1
      let most = Number.NEGATIVE_INFINITY
      let best = lowStep
      for (let s = lowStep; s <= highStep; s++) {
        const y = places[s]!
        if (y > row) break
        const value = base[y]! + gain[row - y]!
        if (value > most) {
          most = value
          best = s
        }
      }
      out[row] = most
      from[at + row] = places[best]!
      if (lowRow < row) push(lowRow, row - 1, lowStep, best)
      if (row < highRow) push(row + 1, highRow, best, highStep)
    }
  }

  /** Places where `base` is higher than before, and the first. */
  #stepsOf(base: Float64Array, n: number): number {
    if (this.#steps.length < n) this.#steps = new Int32Array(n)
    let count = 0
    let last = Number.NEGATIVE_INFINITY
    for (let y = 0; y < n; y++)
      if (base[y]! > last) {
        last = base[y]!
        this.#steps[count++] = y
      }
    return count
  }
}
