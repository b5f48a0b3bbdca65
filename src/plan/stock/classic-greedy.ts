import type { Random } from '../random.ts'
import { BranchingKnapsack } from './branching-knapsack.ts'
import type { ClassicProblem, CutBars } from './classic-problem.ts'
import { type FillingKnapsack, TableKnapsack } from './filling-knapsack.ts'

/** Bar length times kinds of pieces above which a filling is sought by branching, and how long then. */
const TABLE_STEPS = 3e6
const BRANCHING_NODES = 20_000

/** What is still to be cut, and from how many of each bar. */
export interface Residual {
  demand: Int32Array
  supply: Int32Array
}

/** Longest piece first, each into the first open bar that takes it; a new bar is the one that costs least for its length. */
export function firstFit(problem: ClassicProblem, residual: Residual): CutBars[] | null {
  const { pieces, bars } = problem
  const supply = residual.supply.slice()
  const open: { bar: number; room: number; counts: Int32Array }[] = []
  const cheapest = bars
    .map((_, k) => k)
    .sort((a, b) => bars[a]!.cost / bars[a]!.length - bars[b]!.cost / bars[b]!.length)
  for (let i = 0; i < pieces.length; i++) {
    const { length } = pieces[i]!
    let from = 0
    for (let left = residual.demand[i]!; left > 0; ) {
      while (from < open.length && open[from]!.room < length) from++
      if (from === open.length) {
        const bar = cheapest.find((k) => supply[k]! > 0 && bars[k]!.length >= length)
        if (bar === undefined) return null
        supply[bar] = supply[bar]! - 1
        open.push({ bar, room: bars[bar]!.length, counts: new Int32Array(pieces.length) })
      }
      const at = open[from]!
      const n = Math.min(left, Math.floor(at.room / length))
      at.counts[i] = at.counts[i]! + n
      at.room -= n * length
      left -= n
    }
  }
  return open.map(({ bar, counts }) => ({ bar, times: 1, counts: Array.from(counts) }))
}

/**
 * Sequential value correction (Belov and Scheithauer, EJOR 171, 2006, after Mukhacheva): bar by bar the most valuable filling,
 * and pieces that ended in a wasteful bar become more valuable for the next time.
 */
export class ValueCorrection {
  readonly #problem: ClassicProblem
  readonly #random: Random
  readonly #knapsack: FillingKnapsack
  readonly #values: Float64Array
  readonly #lengths: Int32Array

  constructor(problem: ClassicProblem, random: Random) {
    this.#problem = problem
    this.#random = random
    const longest = Math.max(...problem.bars.map((bar) => bar.length))
    const table = longest * problem.pieces.length <= TABLE_STEPS
    this.#knapsack = table ? new TableKnapsack() : new BranchingKnapsack(null, BRANCHING_NODES)
    this.#lengths = Int32Array.from(problem.pieces, (piece) => piece.length)
    this.#values = Float64Array.from(problem.pieces, (piece) => piece.length)
  }

  /** One round; null once it costs more than `most` (bars are counted at cost, the rest at its length). */
  round(residual: Residual, most: number): CutBars[] | null {
    const { bars } = this.#problem
    const demand = residual.demand.slice()
    const supply = residual.supply.slice()
    const power = 1.01 + 0.09 * this.#random()
    const plan: CutBars[] = []
    let left = demand.reduce((sum, n, i) => sum + n * this.#lengths[i]!, 0)
    let cost = 0
    const cheapest = Math.min(...bars.map((bar) => bar.cost / bar.length))
    while (left > 0) {
      if (cost + left * cheapest > most + 1e-6) return null
      const found = this.#fill(demand, supply)
      if (found === null) return null
      const { bar, counts, used } = found
      const { length } = bars[bar]!
      const times = this.#times(counts, demand, supply[bar]!)
      for (let i = 0; i < counts.length; i++) {
        if (counts[i] === 0) continue
        demand[i] = demand[i]! - times * counts[i]!
        const fresh = this.#lengths[i]! ** power * (length / used)
        const keep = (1.2 + this.#random()) * (demand[i]! + 1)
        this.#values[i] = (keep * this.#values[i]! + counts[i]! * fresh) / (keep + counts[i]!)
      }
      supply[bar] = supply[bar]! - times
      left -= times * used
      cost += times * bars[bar]!.cost
      plan.push({ bar, times, counts: Array.from(counts) })
    }
    return cost <= most ? plan : null
  }

  /** How often a filling is cut: of many copies about half, so that values can still be corrected. */
  #times(counts: Int32Array, demand: Int32Array, supply: number): number {
    let most = supply
    for (let i = 0; i < counts.length; i++)
      if (counts[i]! > 0) most = Math.min(most, Math.floor(demand[i]! / counts[i]!))
    return Math.max(1, Math.floor(most * (0.4 + 0.3 * this.#random())))
  }

  /** The filling with most value for its bar's cost. */
  #fill(demand: Int32Array, supply: Int32Array): { bar: number; counts: Int32Array; used: number } | null {
    const { bars } = this.#problem
    const longest = bars.reduce((most, bar, k) => (supply[k]! > 0 ? Math.max(most, bar.length) : most), 0)
    this.#knapsack.load({ lengths: this.#lengths, caps: demand, worths: this.#values }, longest)
    let best = 0
    let bar = -1
    for (let k = 0; k < bars.length; k++) {
      if (supply[k] === 0) continue
      const rate = this.#knapsack.best(bars[k]!.length) / bars[k]!.cost
      if (rate > best) {
        best = rate
        bar = k
      }
    }
    if (bar < 0) return null
    const counts = this.#knapsack.counts(bars[bar]!.length)
    let used = 0
    for (let i = 0; i < counts.length; i++) used += counts[i]! * this.#lengths[i]!
    return used === 0 ? null : { bar, counts, used }
  }
}
