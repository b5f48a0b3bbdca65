import type { CostCurve } from './cost-curve.ts'
import type { StretchTargets } from './counted-stretch.ts'
import type { OpenChoice, PieceCount } from './piece-count.ts'

/** A stretch in a relaxation by length: what it may be left as, each with its curve of cost by length taken. */
export interface StretchModes {
  /** Kept leftover, and leftover so short that it is scrap. */
  kept: CostCurve
  used: CostCurve
}

export interface LengthStock {
  openCost: number
  stretches: StretchModes[]
}

/** What all served pieces are worth at a price of length, a concave function: constant + price × length, clipped piece by piece. */
export interface LengthDemand {
  length: number
  demand: number
  unservedCost: number
  /** Added to price × length: what this kind is worth beyond its length. */
  extra: number
}

const UNTOUCHED = 1
const KEPT = 2
const USED = 4
const CLOSED = 1
const OPEN = 2

/** Nodes kept at once; beyond, the bound stays as it is. */
const MOST_OPEN = 200_000
/** A look at a node takes about as long as so many nodes. A tuned figure. */
const NODES_A_LOOK = 10

interface Node {
  stocks: Uint8Array
  stretches: Uint8Array
  bound: number
  price: number
  /** Looks taken at it. */
  looks: number
}

/**
 * A relaxation that forgets which piece is which and keeps lengths: each stretch gives up some length at some cost, and all lengths
 * together are the lengths of the pieces. One price of length (Lagrange) takes the stretches apart, and branching over "opened or not"
 * and "kept or scrap" closes what the price leaves open. All terms are whole numbers.
 */
export class LengthTree {
  readonly #stocks: LengthStock[]
  readonly #demands: LengthDemand[]
  readonly #first: number[] = []
  readonly #fine: number
  readonly #closer: PieceCount | null
  #open: { node: Node; split: number }[] = []
  /** Least bound of what was dropped because it reached the plan's cost. */
  #closed = Number.POSITIVE_INFINITY
  nodes = 0
  /** False once a price could not be used because its sums were too large. */
  exact = true
  /** Best price of length at the root. */
  price = 0

  /**
   * Prices are whole numbers of 1/`fine` of a cost unit for a unit of length. With `closer`, nodes where nothing is left to branch on are
   * looked at again.
   */
  constructor(stocks: LengthStock[], demands: LengthDemand[], fine: number, closer: PieceCount | null) {
    this.#closer = closer
    this.#stocks = stocks
    this.#demands = demands
    this.#fine = fine
    let n = 0
    for (const stock of stocks) {
      this.#first.push(n)
      n += stock.stretches.length
    }
    this.#first.push(n)
  }

  /** The proven bound on cost so far, in units of 1/fine. −Infinity where the sums were too large to be exact. */
  get bound(): number {
    return Math.min(this.#open[0]?.node.bound ?? Number.POSITIVE_INFINITY, this.#closed)
  }

  /** The root: one price for everything. */
  start(price: number): void {
    const root: Node = {
      stocks: new Uint8Array(this.#stocks.length).fill(CLOSED | OPEN),
      stretches: new Uint8Array(this.#first[this.#stocks.length]!).fill(UNTOUCHED | KEPT | USED),
      bound: Number.NEGATIVE_INFINITY,
      price,
      looks: 0,
    }
    this.#open = [{ node: root, split: this.#settle(root) }]
    this.#closed = Number.POSITIVE_INFINITY
    this.price = root.price
  }

  /**
   * Branches on, the open node with the lowest bound first, until a number of nodes are settled or the bound reaches `enough`.
   * False when there is nothing more to branch on. What a look at a node wants of each stretch is shown to `wanted`.
   */
  grow(nodes: number, enough: number, wanted: (targets: StretchTargets) => void): boolean {
    const limit = this.nodes + nodes
    while (this.nodes < limit) {
      const next = this.#open[0]
      if (next === undefined || next.node.bound >= enough) return false
      if (next.split < 0 && next.node.looks >= (this.#closer?.looks ?? 0)) return false
      popLeast(this.#open)
      if (next.split < 0) {
        this.#lookAt(next.node, enough, wanted)
        continue
      }
      for (const child of this.#children(next.node, next.split)) {
        const split = this.#settle(child)
        child.bound = Math.max(child.bound, next.node.bound)
        // what cannot be cheaper than the plan is never opened again
        if (child.bound >= enough) this.#closed = Math.min(this.#closed, child.bound)
        else pushNode(this.#open, { node: child, split })
      }
      if (this.#open.length > MOST_OPEN) return false
    }
    return true
  }

  #lookAt(node: Node, enough: number, wanted: (targets: StretchTargets) => void): void {
    this.nodes += NODES_A_LOOK
    const { bound, targets } = this.#closer!.bound(node.looks, this.#choices(node), node.price, enough)
    node.looks++
    node.bound = Math.max(node.bound, bound)
    if (targets) wanted(targets)
    if (node.bound >= enough) this.#closed = Math.min(this.#closed, node.bound)
    else pushNode(this.#open, { node, split: -1 })
  }

  #choices(node: Node): OpenChoice[] {
    return this.#stocks.map((stock, b) => ({
      closed: (node.stocks[b]! & CLOSED) !== 0,
      opened: (node.stocks[b]! & OPEN) !== 0,
      stretches: stock.stretches.map((_, s) => {
        const modes = node.stretches[this.#first[b]! + s]!
        return {
          untouched: (modes & UNTOUCHED) !== 0,
          kept: (modes & KEPT) !== 0,
          used: (modes & USED) !== 0,
        }
      }),
    }))
  }

  /** Which stocks the cheapest node would open at its price; null where no node is left. */
  opened(): boolean[] | null {
    const node = this.#open[0]?.node
    if (node === undefined) return null
    return this.#stocks.map((stock, b) => {
      if (node.stocks[b] !== (CLOSED | OPEN)) return node.stocks[b] === OPEN
      const cost = stock.stretches.reduce(
        (sum, stretch, s) => sum + this.#stretch(stretch, node.stretches[this.#first[b]! + s]!, node.price),
        stock.openCost * this.#fine,
      )
      return cost < 0
    })
  }

  #children(node: Node, split: number): Node[] {
    const children: Node[] = []
    const n = this.#stocks.length
    if (split < n) {
      for (const state of [CLOSED, OPEN]) {
        const stocks = node.stocks.slice()
        stocks[split] = state
        children.push({ ...node, stocks })
      }
    } else
      for (const mode of [UNTOUCHED, KEPT, USED]) {
        if ((node.stretches[split - n]! & mode) === 0) continue
        const stretches = node.stretches.slice()
        stretches[split - n] = mode
        children.push({ ...node, stretches })
      }
    return children
  }

  /** Finds the price with the highest bound, and what to branch on (−1: nothing). */
  #settle(node: Node): number {
    this.nodes++
    // the bound is concave in the price: bisection between a price that wants more length and one that wants less
    let low = -2_000 * this.#fine
    let high = 2 * this.#fine
    for (const d of this.#demands) high = Math.max(high, Math.ceil((d.unservedCost * this.#fine) / d.length))
    let width = Math.max(16, Math.abs(node.price) * 0.05)
    let price = Math.round(node.price)
    let best = Number.NEGATIVE_INFINITY
    let bestPrice = price
    let highestInexact = Number.NEGATIVE_INFINITY
    let bounded = false
    for (let k = 0; k < 60 && high - low > 1; k++) {
      const value = this.#value(node, price)
      // sums beyond 2^53 are not exact: such a price guides the search and proves nothing
      if (this.#size > Number.MAX_SAFE_INTEGER) highestInexact = Math.max(highestInexact, value)
      else if (value > best) {
        best = value
        bestPrice = price
      }
      if (this.#slope > 0) low = price
      else if (this.#slope < 0) high = price
      else break
      if (k > 0 && this.#slope > 0 !== this.#lastSlope > 0) bounded = true
      this.#lastSlope = this.#slope
      if (bounded) price = Math.floor((low + high) / 2)
      else {
        price = Math.round(this.#slope > 0 ? Math.min(high, price + width) : Math.max(low, price - width))
        width *= 3
      }
    }
    if (highestInexact > best) this.exact = false
    node.bound = best
    node.price = bestPrice
    return this.#splitAt(node, low, high)
  }

  #slope = 0
  #lastSlope = 0
  /** Sum of the sizes of all terms of the last value. */
  #size = 0

  /** The bound at a price; the slope tells whether a higher price might be better. */
  #value(node: Node, price: number): number {
    let value = 0
    let size = 0
    let slope = 0
    for (const { length, demand, unservedCost, extra } of this.#demands) {
      const worth = price * length + extra
      const most = unservedCost * this.#fine
      value += demand * Math.min(worth, most)
      size += demand * Math.abs(Math.min(worth, most))
      if (worth < most) slope += demand * length
    }
    for (let b = 0; b < this.#stocks.length; b++) {
      const stock = this.#stocks[b]!
      let cost = stock.openCost * this.#fine
      let length = 0
      if ((node.stocks[b]! & OPEN) === 0) continue
      for (let s = 0; s < stock.stretches.length; s++) {
        const least = this.#stretch(stock.stretches[s]!, node.stretches[this.#first[b]! + s]!, price)
        cost += least
        size += Math.abs(least)
        length += this.#at
      }
      if ((node.stocks[b]! & CLOSED) !== 0 && cost >= 0) continue
      value += cost
      slope -= length
    }
    this.#slope = slope
    this.#size = size
    return value
  }

  #at = 0
  #mode = 0

  #stretch(stretch: StretchModes, modes: number, price: number): number {
    let least = Number.POSITIVE_INFINITY
    if ((modes & UNTOUCHED) !== 0) {
      least = 0
      this.#at = 0
      this.#mode = UNTOUCHED
    }
    if ((modes & KEPT) !== 0) {
      const cost = stretch.kept.least(price)
      if (cost < least) {
        least = cost
        this.#at = stretch.kept.at
        this.#mode = KEPT
      }
    }
    if ((modes & USED) !== 0) {
      const cost = stretch.used.least(price)
      if (cost < least) {
        least = cost
        this.#at = stretch.used.at
        this.#mode = USED
      }
    }
    return least
  }

  /** The stock or stretch that decides differently just below and just above the best price; the one that moves most length. */
  #splitAt(node: Node, low: number, high: number): number {
    let split = -1
    let most = 0
    const n = this.#stocks.length
    for (let b = 0; b < n; b++) {
      const stock = this.#stocks[b]!
      if ((node.stocks[b]! & OPEN) === 0) continue
      const at: { cost: number; lengths: number[]; modes: number[] }[] = []
      for (const price of [low, high]) {
        let cost = stock.openCost * this.#fine
        const lengths: number[] = []
        const modes: number[] = []
        stock.stretches.forEach((stretch, s) => {
          cost += this.#stretch(stretch, node.stretches[this.#first[b]! + s]!, price)
          lengths.push(this.#at)
          modes.push(this.#mode)
        })
        at.push({ cost, lengths, modes })
      }
      const [below, above] = [at[0]!, at[1]!]
      const total = (x: number[]) => x.reduce((sum, y) => sum + y, 0)
      if (node.stocks[b] === (CLOSED | OPEN) && below.cost >= 0 !== above.cost >= 0) {
        const moved = Math.max(total(below.lengths), total(above.lengths))
        if (moved > most) {
          most = moved
          split = b
        }
      } else if (node.stocks[b] === OPEN || below.cost < 0)
        below.modes.forEach((mode, s) => {
          const moved = Math.abs(above.lengths[s]! - below.lengths[s]!)
          if (mode !== above.modes[s] && moved > most) {
            most = moved
            split = n + this.#first[b]! + s
          }
        })
    }
    return split
  }
}

function pushNode(heap: { node: Node; split: number }[], entry: { node: Node; split: number }): void {
  heap.push(entry)
  let i = heap.length - 1
  while (i > 0) {
    const parent = (i - 1) >> 1
    if (heap[parent]!.node.bound <= heap[i]!.node.bound) return
    ;[heap[parent], heap[i]] = [heap[i]!, heap[parent]!]
    i = parent
  }
}

function popLeast(heap: { node: Node; split: number }[]): { node: Node; split: number } | null {
  const least = heap[0]
  if (least === undefined) return null
  const last = heap.pop()!
  if (heap.length === 0) return least
  heap[0] = last
  for (let i = 0; ; ) {
    const l = 2 * i + 1
    const r = l + 1
    let m = i
    if (l < heap.length && heap[l]!.node.bound < heap[m]!.node.bound) m = l
    if (r < heap.length && heap[r]!.node.bound < heap[m]!.node.bound) m = r
    if (m === i) return least
    ;[heap[m], heap[i]] = [heap[i]!, heap[m]!]
    i = m
  }
}
