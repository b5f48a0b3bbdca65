import type { FillingKnapsack, Offers } from './filling-knapsack.ts'

/** Pairs of pieces that must not share a bar: `conflicts[i]` lists the partners of piece i. */
export type Conflicts = readonly (readonly number[])[]

/**
 * Bounded knapsack by depth-first search, worth per length first, with the fractional bound of Dantzig (1957). It needs no memory
 * for the length of the bar, and it is quick where few pieces fit a bar. Exact while worths and sums stay below 2^53.
 */
export class BranchingKnapsack implements FillingKnapsack {
  readonly #conflicts: Conflicts | null
  readonly #mostNodes: number
  #order: number[] = []
  #lengths: Int32Array = new Int32Array(0)
  #caps: Int32Array = new Int32Array(0)
  #worths: Float64Array = new Float64Array(0)
  #ratio = new Float64Array(0)
  /** Shortest length among the pieces from here on in the order. */
  #shortest = new Int32Array(0)
  #blocked = new Int32Array(0)
  #now = new Int32Array(0)
  #found = new Map<number, { worth: number; counts: Int32Array; complete: boolean; bound: number }>()
  #best = 0
  #bestNow = new Int32Array(0)
  nodes = 0
  #limit = 0

  constructor(conflicts: Conflicts | null, mostNodes: number) {
    this.#conflicts = conflicts
    this.#mostNodes = mostNodes
  }

  load(offers: Offers, longest: number): void {
    const { lengths, caps, worths } = offers
    this.#order = []
    for (let i = 0; i < lengths.length; i++)
      if (worths[i]! > 0 && caps[i]! > 0 && lengths[i]! <= longest) this.#order.push(i)
    this.#order.sort(
      (a, b) => worths[b]! / lengths[b]! - worths[a]! / lengths[a]! || lengths[b]! - lengths[a]!,
    )
    const n = this.#order.length
    this.#lengths = lengths
    this.#caps = caps
    this.#worths = worths
    this.#ratio = Float64Array.from(this.#order, (i) => worths[i]! / lengths[i]!)
    this.#shortest = new Int32Array(n + 1).fill(0x7fffffff)
    for (let k = n - 1; k >= 0; k--)
      this.#shortest[k] = Math.min(this.#shortest[k + 1]!, lengths[this.#order[k]!]!)
    this.#blocked = new Int32Array(lengths.length)
    this.#now = new Int32Array(lengths.length)
    this.#found = new Map()
  }

  best(length: number): number {
    return this.#search(length).worth
  }

  /** No filling is worth more than this, also when the search had to stop. */
  bound(length: number): number {
    return this.#search(length).bound
  }

  counts(length: number): Int32Array {
    return this.#search(length).counts
  }

  #search(length: number) {
    const known = this.#found.get(length)
    if (known) return known
    this.#best = 0
    this.#bestNow = new Int32Array(this.#now.length)
    this.#limit = this.nodes + this.#mostNodes
    this.#descend(0, length, 0)
    const complete = this.nodes < this.#limit
    const bound = complete ? this.#best : Math.floor(length * (this.#ratio[0] ?? 0) + 1)
    const found = { worth: this.#best, counts: this.#bestNow, complete, bound }
    this.#found.set(length, found)
    return found
  }

  /** From place k of the order on, with `room` left and `worth` earned. */
  #descend(from: number, room: number, worth: number): void {
    if (worth > this.#best) {
      this.#best = worth
      this.#bestNow = this.#now.slice()
    }
    for (let k = from; k < this.#order.length; k++) {
      if (room < this.#shortest[k]! || this.nodes >= this.#limit) return
      // worths are whole: only a filling worth at least one more than the best counts; 0.99 leaves room for rounding
      if (worth + room * this.#ratio[k]! < this.#best + 0.99) return
      const i = this.#order[k]!
      if (this.#lengths[i]! > room || this.#blocked[i]! > 0) continue
      this.nodes++
      this.#take(i, 1)
      const most = Math.min(this.#caps[i]!, Math.floor(room / this.#lengths[i]!))
      for (let copies = most; copies >= 1; copies--) {
        this.#now[i] = copies
        this.#descend(k + 1, room - copies * this.#lengths[i]!, worth + copies * this.#worths[i]!)
      }
      this.#now[i] = 0
      this.#take(i, -1)
    }
  }

  #take(i: number, change: number): void {
    if (this.#conflicts === null) return
    for (const j of this.#conflicts[i]!) this.#blocked[j] = this.#blocked[j]! + change
  }
}
