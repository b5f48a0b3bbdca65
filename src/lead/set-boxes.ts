import { EDGE, type FoundSets, mostInWindow } from './set-window.ts'

/**
 * Disjoint sets of leads that agree in several measured quantities at once, each within its window (delay and loss, say). With more than one
 * quantity this is set packing, for which no quick exact rule is known: branch and bound over the leads in order of the first quantity.
 * A lead is either left out or is the lowest of a set with later ones. Bound of a state: the sets it has, and for what is left the least over the
 * quantities of the most sets by that quantity alone, which is exact on a line (set-window.ts) and can only be too high.
 * Leads that agree with too few others are taken out first, and groups that share no lead that agrees are searched one by one.
 */
export function setsInBoxes(
  points: number[][],
  size: number,
  windows: number[],
  mostStates: number,
): FoundSets {
  const found: FoundSets = { sets: [], mostPossible: 0 }
  const parts = componentsOf(points, size, windows)
  for (const part of parts) {
    const search = new BoxSearch(part, points, size, windows, Math.ceil(mostStates / parts.length))
    search.run()
    found.sets.push(...search.best)
    found.mostPossible += search.proven ? search.best.length : search.rootBound
  }
  return found
}

function agree(a: number[], b: number[], windows: number[]): boolean {
  return windows.every((window, d) => Math.abs(a[d]! - b[d]!) <= window + EDGE)
}

/** Groups of leads that may be in one set, each in rising order of the first quantity; leads that can be in none are left out. */
function componentsOf(points: number[][], size: number, windows: number[]): number[][] {
  let left = points.map((_, i) => i).sort((i, j) => points[i]![0]! - points[j]![0]! || i - j)
  const friends = (i: number) => left.filter((j) => j !== i && agree(points[i]!, points[j]!, windows))
  for (;;) {
    const kept = left.filter((i) => friends(i).length >= size - 1)
    if (kept.length === left.length) break
    left = kept
  }
  const part = new Map<number, number>()
  const groups: number[][] = []
  for (const first of left) {
    if (part.has(first)) continue
    const stack = [first]
    part.set(first, groups.length)
    for (let i = stack.pop(); i !== undefined; i = stack.pop())
      for (const j of friends(i))
        if (!part.has(j)) {
          part.set(j, groups.length)
          stack.push(j)
        }
    groups.push(left.filter((i) => part.get(i) === groups.length))
  }
  return groups
}

class BoxSearch {
  best: number[][] = []
  proven = false
  readonly rootBound: number
  private readonly leads: number[]
  private readonly points: number[][]
  private readonly size: number
  private readonly windows: number[]
  /** The group's leads in rising order of each quantity. */
  private readonly orders: number[][]
  private readonly gone: Set<number> = new Set()
  private readonly chosen: number[][] = []
  private statesLeft: number

  constructor(leads: number[], points: number[][], size: number, windows: number[], mostStates: number) {
    this.leads = leads
    this.points = points
    this.size = size
    this.windows = windows
    this.statesLeft = mostStates
    this.orders = windows.map((_, d) => [...leads].sort((i, j) => points[i]![d]! - points[j]![d]!))
    this.rootBound = this.bound()
  }

  run(): void {
    this.branch(0)
    this.proven = this.statesLeft > 0 || this.best.length === this.rootBound
  }

  /** The most that what is left can make by any one quantity alone. */
  private bound(): number {
    return Math.min(
      ...this.windows.map((window, d) => {
        const left = this.orders[d]!.filter((i) => !this.gone.has(i)).map((i) => this.points[i]![d]!)
        return mostInWindow(left, this.size, window)
      }),
    )
  }

  private branch(from: number): void {
    if (this.statesLeft-- <= 0) return
    if (this.chosen.length > this.best.length) this.best = this.chosen.map((set) => [...set])
    if (this.best.length === this.rootBound) return
    let at = from
    while (at < this.leads.length && this.gone.has(this.leads[at]!)) at++
    if (at === this.leads.length || this.chosen.length + this.bound() <= this.best.length) return
    const lowest = this.leads[at]!
    this.gone.add(lowest)
    this.complete([lowest], at + 1, () => this.branch(at + 1))
    this.branch(at + 1)
    this.gone.delete(lowest)
  }

  /** Every way to make the set whole with later leads, the nearest first. */
  private complete(set: number[], from: number, then: () => void): void {
    if (set.length === this.size) {
      this.chosen.push(set)
      then()
      this.chosen.pop()
      return
    }
    for (let at = from; at < this.leads.length && this.statesLeft > 0; at++) {
      const next = this.leads[at]!
      if (this.points[next]![0]! - this.points[set[0]!]![0]! > this.windows[0]! + EDGE) return
      if (this.gone.has(next) || !set.every((i) => agree(this.points[i]!, this.points[next]!, this.windows)))
        continue
      this.gone.add(next)
      this.complete([...set, next], at + 1, then)
      this.gone.delete(next)
      if (this.best.length === this.rootBound) return
    }
  }
}
