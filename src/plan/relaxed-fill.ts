import type { LengthUm } from '../quantity/length.ts'
import { ConcaveSum } from './concave-sum.ts'
import { merged, type Offered, type Taken } from './stretch-fill.ts'

interface Pass {
  offered: Offered
  copies: number
  cells: number
  /** Where in the arena the choices of this pass stand. */
  at: number
  window: boolean
}

/** Pieces of one put-up, as they are filled in. */
export interface Prepared {
  /** Of so many copies at a time, or one whose length may lie in a window. */
  packs: { offered: Offered; copies: number; cells: number; window: boolean }[]
  /** The dearest by length first, and what they earn by cells; null where there are none. */
  fluid: Offered[]
  gain: Float64Array | null
}

interface GroupPasses {
  passes: Pass[]
  /** The dearest by length first. */
  fluid: Offered[]
  fluidAt: number
  at: number
}

/**
 * The most that pieces in one stretch can earn: for bounds, so that every rounding goes up. Long pieces are packed on a grid of
 * cells, their lengths rounded down. Short ones that are many would add up to many roundings; of each put-up they are filled in as
 * a fluid, dearest first, which rounds once, and earns no less since the last of them may be taken in part. After `run`,
 * `best[x]` is the most that pieces of less than x + 1 cells together can earn; it grows with x.
 */
export class RelaxedFill {
  best = new Float64Array(0)
  cells = 0
  /** Stretches filled so far. */
  runs = 0
  #with = new Float64Array(0)
  #old = new Float64Array(0)
  #gain = new Float64Array(0)
  #deque = new Int32Array(0)
  #bits = new Uint8Array(1 << 20)
  #numbers = new Int32Array(1 << 12)
  #bitsUsed = 0
  #numbersUsed = 0
  #groups: GroupPasses[] = []
  #cellUm = 1
  readonly #sum = new ConcaveSum()
  readonly #rounding: number

  /** `nearest`: lengths are rounded to the nearest cell and not down, which proves nothing, but on a coarse grid errs less. */
  constructor(nearest = false) {
    this.#rounding = nearest ? 0.5 : 0
  }

  /**
   * `offered` stands sorted by put-up number; a change of put-up costs nothing less than 0.
   */
  run(lengthUm: LengthUm, cellUm: number, offered: Offered[], changeOf: (group: number) => number): void {
    this.runs++
    this.#begin(Math.floor(lengthUm / cellUm), cellUm)
    this.#reserve(this.cells + 1)
    this.best.fill(0, 0, this.cells + 1)
    let i = 0
    while (i < offered.length) {
      let j = i
      while (j < offered.length && offered[j]!.group === offered[i]!.group) j++
      this.#runGroup(offered.slice(i, j), changeOf(offered[i]!.group))
      i = j
    }
  }

  /** Best of all fillings with the rest that each leaves: `rests[x]` is the most that the rest is worth once x cells are filled. */
  bestWith(rests: Float64Array): { worth: number; at: number } {
    const { best } = this
    let worth = Number.NEGATIVE_INFINITY
    let at = 0
    for (let x = 0; x < rests.length; x++) {
      const value = best[x]! + rests[x]!
      if (value > worth) {
        worth = value
        at = x
      }
    }
    return { worth, at }
  }

  /** The pieces behind best[cells]; of fluid ones the last may be taken in part. */
  taken(cells: number): Taken[] {
    const taken: Taken[] = []
    let x = cells
    for (let g = this.#groups.length - 1; g >= 0; g--) {
      const group = this.#groups[g]!
      if (this.#bits[group.at + x] === 0) continue
      if (group.fluid.length > 0) {
        const from = this.#numbers[group.fluidAt + x]!
        pourOut(group.fluid, (x - from + 1) * this.#cellUm, taken)
        x = from
      }
      for (let p = group.passes.length - 1; p >= 0; p--) x -= this.#takenOf(group.passes[p]!, x, taken)
    }
    return merged(taken)
  }

  /** Adds what a pass took at x and answers the cells that it filled. */
  #takenOf(pass: Pass, x: number, taken: Taken[]): number {
    const { item, option, group, cutUm } = pass.offered
    if (pass.window) {
      const width = this.#numbers[pass.at + x]!
      if (width < 0) return 0
      const widthUm = Math.min(cutUm, Math.floor((width + 1) * this.#cellUm))
      taken.push({ item, option, group, count: 1, cutUm: widthUm })
      return width
    }
    if (this.#bits[pass.at + x] === 0) return 0
    taken.push({ item, option, group, count: pass.copies, cutUm })
    return pass.cells
  }

  /**
   * Makes pieces of one put-up ready for stretches of no more than so many cells: what is the same however much is filled in
   * before.
   */
  prepare(offered: Offered[], cells: number, cellUm: number, gain = new Float64Array(cells + 1)): Prepared {
    const packs: Prepared['packs'] = []
    const fluid: Offered[] = []
    const n = cells + 1
    // the length may reach into one more cell
    const roomUm = n * cellUm
    for (const o of offered) {
      if (o.shrink && o.shrink.leastCutUm > 0) {
        const most = Math.min(o.cap, Math.floor(roomUm / o.shrink.leastCutUm + 1e-9))
        if (Math.floor(o.shrink.leastCutUm / cellUm) >= n) continue
        for (let k = 0; k < most; k++) packs.push({ offered: o, copies: 1, cells: 0, window: true })
        continue
      }
      // of so many that their roundings would add up to a whole piece, any share may be taken for its share of the profit
      if (o.shrink || o.cutUm <= o.cap * cellUm) {
        if (o.profit > 0) fluid.push(o)
        continue
      }
      let left = Math.min(o.cap, Math.floor(roomUm / o.cutUm))
      for (let chunk = 1; left > 0; chunk *= 2) {
        const copies = Math.min(chunk, left)
        left -= copies
        const packed = Math.floor((copies * o.cutUm) / cellUm + this.#rounding)
        if (packed < n) packs.push({ offered: o, copies, cells: packed, window: false })
      }
    }
    fluid.sort((a, b) => b.profit / b.cutUm - a.profit / a.cutUm)
    return { packs, fluid, gain: fluid.length > 0 ? poured(fluid, n, cellUm, gain) : null }
  }

  /** What `table` says that cells earn, with more pieces beside what earns that: values alone, as `run` has them. */
  more(table: Float64Array, { packs, gain }: Prepared, cellUm: number): Float64Array {
    this.runs++
    const n = table.length
    this.#reserve(n)
    this.#begin(n - 1, cellUm)
    const h = table.slice()
    for (const { offered, copies, cells, window } of packs) {
      if (window) this.#window(h, offered)
      else {
        const profit = copies * offered.profit
        for (let x = n - 1; x >= cells; x--) {
          const value = h[x - cells]! + profit
          if (value > h[x]!) h[x] = value
        }
      }
    }
    if (gain) this.#pour(h, gain)
    return h
  }

  #begin(cells: number, cellUm: number): void {
    this.cells = cells
    this.#cellUm = cellUm
    this.#groups = []
    this.#bitsUsed = 0
    this.#numbersUsed = 0
  }

  #runGroup(offered: Offered[], changeMicro: number): void {
    const n = this.cells + 1
    const h = this.#with
    for (let x = 0; x < n; x++) h[x] = this.best[x]! - changeMicro
    const { packs, fluid, gain } = this.prepare(offered, this.cells, this.#cellUm, this.#gain)
    const passes = packs.map((pack) =>
      pack.window ? this.#window(h, pack.offered) : this.#chunk(h, pack.offered, pack.copies, pack.cells),
    )
    const fluidAt = gain ? this.#pour(h, gain) : 0
    const at = this.#claimBits(n)
    const best = this.best
    const bits = this.#bits
    for (let x = 0; x < n; x++)
      if (h[x]! > best[x]!) {
        best[x] = h[x]!
        bits[at + x] = 1
      }
    this.#groups.push({ passes, fluid, fluidAt, at })
  }

  /** Joins the fluid pieces to what is filled so far. */
  #pour(h: Float64Array, gain: Float64Array): number {
    const n = this.cells + 1
    const at = this.#claimNumbers(n)
    const old = this.#old
    old.set(h.subarray(0, n))
    this.#sum.run(old, gain, n, h, this.#numbers, at)
    return at
  }

  #chunk(h: Float64Array, o: Offered, copies: number, cells: number): Pass {
    const n = this.cells + 1
    const profit = copies * o.profit
    const at = this.#claimBits(n)
    const bits = this.#bits
    for (let x = n - 1; x >= cells; x--) {
      const value = h[x - cells]! + profit
      if (value > h[x]!) {
        h[x] = value
        bits[at + x] = 1
      }
    }
    return { offered: o, copies, cells, at, window: false }
  }

  /**
   * One piece whose length may lie in a window: a sliding maximum over the window. A piece that fills so many cells may reach into one
   * more, and earns what all of these earn; at its full length it earns no more than that.
   */
  #window(h: Float64Array, o: Offered): Pass {
    const { leastCutUm, lossPerUm } = o.shrink!
    const least = Math.floor(leastCutUm / this.#cellUm)
    const most = Math.max(least, Math.floor(o.cutUm / this.#cellUm))
    const n = this.cells + 1
    const slope = lossPerUm * this.#cellUm
    const base = o.profit - lossPerUm * (o.cutUm - this.#cellUm)
    const old = this.#old
    const at = this.#claimNumbers(n)
    this.#numbers.fill(-1, at, at + n)
    for (let x = 0; x < n; x++) old[x] = h[x]! - slope * x
    const deque = this.#deque
    let head = 0
    let tail = 0
    const take = (x: number, width: number, value: number) => {
      if (value <= h[x]!) return
      h[x] = value
      this.#numbers[at + x] = width
    }
    for (let x = least; x < n; x++) {
      if (least < most) {
        const enter = x - least
        while (tail > head && old[deque[tail - 1]!]! <= old[enter]!) tail--
        deque[tail++] = enter
        while (deque[head]! <= x - most) head++
        const from = deque[head]!
        take(x, x - from, old[from]! + slope * x + base)
      }
      if (x >= most) take(x, most, old[x - most]! + slope * (x - most) + o.profit)
    }
    return { offered: o, copies: 1, cells: 0, at, window: true }
  }

  #reserve(n: number): void {
    if (this.best.length >= n) return
    this.best = new Float64Array(n)
    this.#with = new Float64Array(n)
    this.#old = new Float64Array(n)
    this.#gain = new Float64Array(n)
    this.#deque = new Int32Array(n)
  }

  #claimBits(n: number): number {
    if (this.#bitsUsed + n > this.#bits.length) {
      const larger = new Uint8Array(2 * (this.#bitsUsed + n))
      larger.set(this.#bits.subarray(0, this.#bitsUsed))
      this.#bits = larger
    }
    const at = this.#bitsUsed
    this.#bitsUsed += n
    this.#bits.fill(0, at, at + n)
    return at
  }

  #claimNumbers(n: number): number {
    if (this.#numbersUsed + n > this.#numbers.length) {
      const larger = new Int32Array(2 * (this.#numbersUsed + n))
      larger.set(this.#numbers.subarray(0, this.#numbersUsed))
      this.#numbers = larger
    }
    const at = this.#numbersUsed
    this.#numbersUsed += n
    return at
  }
}

/** What fluid pieces earn that fill so many cells and a part of the next. */
function poured(fluid: Offered[], n: number, cellUm: number, gain: Float64Array<ArrayBuffer>): Float64Array {
  let s = 0
  let doneUm = 0
  let doneMicro = 0
  for (let x = 0; x < n; x++) {
    const lengthUm = (x + 1) * cellUm
    while (s < fluid.length) {
      const { cap, cutUm, profit } = fluid[s]!
      if (doneUm + cap * cutUm > lengthUm) break
      doneUm += cap * cutUm
      doneMicro += cap * profit
      s++
    }
    const next = fluid[s]
    gain[x] = doneMicro + (next ? ((lengthUm - doneUm) * next.profit) / next.cutUm : 0)
  }
  return gain
}

/** What of the fluid pieces lies in a length, the dearest first. */
function pourOut(fluid: Offered[], lengthUm: LengthUm, taken: Taken[]): void {
  let leftUm = lengthUm
  for (const { item, option, group, cap, cutUm } of fluid) {
    if (leftUm <= 0) return
    const count = Math.min(cap, leftUm / cutUm)
    taken.push({ item, option, group, count, cutUm })
    leftUm -= count * cutUm
  }
}
