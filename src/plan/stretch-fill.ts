import type { LengthUm } from '../quantity/length.ts'

/** A kind of piece offered to a stretch, with what one of it is worth there. */
export interface Offered {
  item: number
  option: number
  /** Put-up number; pieces of one number follow each other without a change. */
  group: number
  /** Most copies that may be taken. */
  cap: number
  /** Taken from the drum and earned by one piece of full length. */
  cutUm: LengthUm
  profit: number
  /** A piece that may be shorter: least length taken, and what each micrometre less costs. null for a fixed length. */
  shrink: { leastCutUm: LengthUm; lossPerUm: number } | null
}

/** The order in which a filling takes what is offered: put-up by put-up, the longest first. */
export function byPutup<T extends Pick<Offered, 'group' | 'cutUm'>>(offered: T[]): T[] {
  return offered.sort((a, b) => a.group - b.group || b.cutUm - a.cutUm)
}

/** Pieces taken in a stretch. `cutUm` is the full length, or less where the piece may be shorter. */
export interface Taken {
  item: number
  option: number
  group: number
  count: number
  cutUm: LengthUm
}

interface Pass {
  offered: Offered
  copies: number
  cells: number
  /** Where in the arena the choices of this pass stand. */
  at: number
  window: boolean
}

interface GroupPasses {
  passes: Pass[]
  at: number
}

/**
 * Bounded knapsack over one stretch on a grid of cells, by put-up: the pieces of one put-up follow each other,
 * and each further put-up costs a change. Lengths are rounded up to cells, by chunks of 1, 2, 4 … copies, so that rounding adds up to at most one cell a chunk. After `run`, `best[x]` is the most that
 * pieces of at most x cells together can earn.
 */
export class StretchFill {
  best = new Float64Array(0)
  cells = 0
  #with = new Float64Array(0)
  #old = new Float64Array(0)
  #deque = new Int32Array(0)
  #bits = new Uint8Array(1 << 20)
  #shrunk = new Int32Array(1 << 12)
  #bitsUsed = 0
  #shrunkUsed = 0
  #groups: GroupPasses[] = []
  #cellUm = 1

  /** `offered` stands sorted by put-up number. */
  run(lengthUm: LengthUm, cellUm: number, offered: Offered[], changeOf: (group: number) => number): void {
    this.cells = Math.floor(lengthUm / cellUm)
    this.#cellUm = cellUm
    this.#reserve(this.cells + 1)
    this.best.fill(0, 0, this.cells + 1)
    this.#groups = []
    this.#bitsUsed = 0
    this.#shrunkUsed = 0
    let i = 0
    while (i < offered.length) {
      let j = i
      while (j < offered.length && offered[j]!.group === offered[i]!.group) j++
      this.#runGroup(offered.slice(i, j), changeOf(offered[i]!.group))
      i = j
    }
  }

  /**
   * Best of all fillings with the rest that each leaves: `rests[x]` is the most that the rest is worth once x cells are filled.
   * Entries grow with x, so for any filling there is an x whose rest is the filling's or up to one cell more.
   */
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

  /** The pieces behind best[cells]. */
  taken(cells: number): Taken[] {
    const taken: Taken[] = []
    let x = cells
    for (let g = this.#groups.length - 1; g >= 0; g--) {
      const group = this.#groups[g]!
      if (this.#bits[group.at + x] === 0) continue
      for (let p = group.passes.length - 1; p >= 0; p--) {
        const pass = group.passes[p]!
        const { item, option, group: number, cutUm } = pass.offered
        if (pass.window) {
          const width = this.#shrunk[pass.at + x]!
          if (width === 0) continue
          x -= width
          taken.push({
            item,
            option,
            group: number,
            count: 1,
            cutUm: Math.min(cutUm, Math.floor(width * this.#cellUm)),
          })
        } else if (this.#bits[pass.at + x] === 1) {
          x -= pass.cells
          taken.push({ item, option, group: number, count: pass.copies, cutUm })
        }
      }
    }
    return merged(taken)
  }

  #runGroup(offered: Offered[], changeMicro: number): void {
    const n = this.cells + 1
    const h = this.#with
    for (let x = 0; x < n; x++) h[x] = this.best[x]! - changeMicro
    const passes: Pass[] = []
    const roomUm = this.cells * this.#cellUm
    for (const o of offered) {
      if (o.shrink) {
        const most = Math.min(o.cap, Math.floor(roomUm / o.shrink.leastCutUm + 1e-9))
        for (let k = 0; k < most; k++) {
          const pass = this.#window(h, o)
          if (pass) passes.push(pass)
        }
        continue
      }
      let left = Math.min(o.cap, Math.floor(roomUm / o.cutUm))
      for (let chunk = 1; left > 0; chunk *= 2) {
        const copies = Math.min(chunk, left)
        left -= copies
        const pass = this.#chunk(h, o, copies)
        if (pass) passes.push(pass)
      }
    }
    const at = this.#claimBits(n)
    const best = this.best
    const bits = this.#bits
    for (let x = 0; x < n; x++)
      if (h[x]! > best[x]!) {
        best[x] = h[x]!
        bits[at + x] = 1
      }
    this.#groups.push({ passes, at })
  }

  #chunk(h: Float64Array, o: Offered, copies: number): Pass | null {
    const cells = Math.ceil((copies * o.cutUm) / this.#cellUm)
    const n = this.cells + 1
    if (cells >= n) return null
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

  /** One piece whose length may lie in a window: a sliding maximum over the window. */
  #window(h: Float64Array, o: Offered): Pass | null {
    const { leastCutUm, lossPerUm } = o.shrink!
    const least = Math.ceil(leastCutUm / this.#cellUm)
    const most = Math.ceil(o.cutUm / this.#cellUm)
    const n = this.cells + 1
    if (least >= n) return null
    const slope = lossPerUm * this.#cellUm
    const base = o.profit - slope * most
    const old = this.#old
    const at = this.#claimShrunk(n)
    for (let x = 0; x < n; x++) old[x] = h[x]! - slope * x
    const deque = this.#deque
    let head = 0
    let tail = 0
    for (let x = least; x < n; x++) {
      const enter = x - least
      while (tail > head && old[deque[tail - 1]!]! <= old[enter]!) tail--
      deque[tail++] = enter
      while (deque[head]! < x - most) head++
      const from = deque[head]!
      const value = old[from]! + slope * x + base
      if (value > h[x]!) {
        h[x] = value
        this.#shrunk[at + x] = x - from
      }
    }
    return { offered: o, copies: 1, cells: 0, at, window: true }
  }

  #reserve(n: number): void {
    if (this.best.length >= n) return
    this.best = new Float64Array(n)
    this.#with = new Float64Array(n)
    this.#old = new Float64Array(n)
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

  #claimShrunk(n: number): number {
    if (this.#shrunkUsed + n > this.#shrunk.length) {
      const larger = new Int32Array(2 * (this.#shrunkUsed + n))
      larger.set(this.#shrunk.subarray(0, this.#shrunkUsed))
      this.#shrunk = larger
    }
    const at = this.#shrunkUsed
    this.#shrunkUsed += n
    this.#shrunk.fill(0, at, at + n)
    return at
  }
}

/** Pieces of the same length in the same put-up, where there are any. */
export function alike(pieces: Taken[], { item, option, cutUm }: Taken): Taken | null {
  for (const t of pieces) if (t.item === item && t.option === option && t.cutUm === cutUm) return t
  return null
}

/** Alike pieces as one entry. */
export function merged(taken: Taken[]): Taken[] {
  const all: Taken[] = []
  for (const t of taken) {
    const same = alike(all, t)
    if (same) same.count += t.count
    else all.push({ ...t })
  }
  return all
}
