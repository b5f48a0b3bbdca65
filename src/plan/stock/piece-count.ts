import { CountStates } from './count-states.ts'
import { type CountedKinds, countedKinds } from './counted-kinds.ts'
import {
  type CountedPrices,
  CountedStretch,
  type StretchChoice,
  type StretchTarget,
} from './counted-stretch.ts'
import type { StockKind } from './stock-kinds.ts'
import type { Stock, StockProblem } from './stock-problem.ts'

/** So many values may all counts together have: the first look is quick, each later one is closer. A tuned figure. */
const MOST_COUNTS = [20_000, 400_000, 8_000_000]
/** Additions of one look; beyond, the look proves nothing. A second or so. */
const MOST_STEPS = 40_000_000
/** Counts of one stretch, and counts that are kept for all steps of one look: some ten megabytes. */
const MOST_OF_A_STRETCH = 100_000
const MOST_KEPT = 1_000_000
/** Parts of the gap to a plan at hand that counts are looked for within, one after the other: what lies near is found soon. */
const PARTS = [1 / 8, 1 / 4, 1 / 2, 1]
/** Cells of all stretches together, each with a cost for each counted kind: a hundred megabytes at most. */
const MOST_CELLS = 1_000_000

/** What a node of the tree leaves open: may a stock stay closed, may it be opened, and what may each of its stretches be. */
export interface OpenChoice {
  closed: boolean
  opened: boolean
  stretches: StretchChoice[]
}

export interface CountedBound {
  /** No plan within the node costs less; `enough` where none costs less than that. In units of 1/fine. */
  bound: number
  /** What the cheapest counts want of each stretch of each stock; null where nothing costs less than `enough`. */
  targets: (StretchTarget | null)[][] | null
}

interface CountedStock {
  stretches: CountedStretch[]
  /** What staying closed, and being opened, costs more than the lesser of both. */
  closedSlack: number
  openSlack: number
}

/** One stock added to the counts: those before, and after each of its stretches if it is opened. */
interface Step {
  stock: number
  before: CountStates
  opened: CountStates[]
}

/** Half of the stocks, in the order in which they are added. */
interface Side {
  steps: Step[]
  states: CountStates
}

/**
 * A bound that counts. Prices alone let a plan cut half a piece here and half there; here the pieces of some kinds are counted over all
 * stretches and come out exactly as wanted, while the others keep their prices (a Lagrangian relaxation with part of the state kept:
 * Righini and Salani 2008, "New dynamic programming algorithms for the resource constrained elementary shortest path problem"). Counts
 * that cost more than a plan at hand are dropped, which leaves few. All terms are whole numbers.
 */
export class PieceCount {
  readonly #problem: StockProblem
  readonly #kinds: readonly StockKind[]
  readonly #cell: number
  readonly #fine: number
  readonly #extra: Float64Array
  readonly #looks: CountedKinds[] = []

  /** `extra`: what a piece of each kind is worth beyond its length, in units of 1/fine. */
  constructor(
    problem: StockProblem,
    kinds: readonly StockKind[],
    cell: number,
    fine: number,
    extra: Float64Array,
  ) {
    this.#problem = problem
    this.#kinds = kinds
    this.#cell = cell
    this.#fine = fine
    this.#extra = extra
    const cells = problem.stocks.flatMap((stock) => stock.stretches).reduce((sum, x) => sum + x / cell, 0)
    if (cells > MOST_CELLS) return
    const scrapBelow = Math.max(cell, ...problem.stocks.map((stock) => stock.rest.scrapBelow))
    for (const most of MOST_COUNTS) {
      const counted = countedKinds(kinds, scrapBelow, most)
      if (counted.kinds.length > (this.#looks.at(-1)?.kinds.length ?? 0)) this.#looks.push(counted)
    }
  }

  /** How often one may look, closer each time. */
  get looks(): number {
    return this.#looks.length
  }

  /** Looks at a node at a price of length. Where there is too much to count the bound rises less or not at all. */
  bound(look: number, choices: readonly OpenChoice[], price: number, enough: number): CountedBound {
    const counted = this.#looks[look]!
    const prices = Float64Array.from(this.#kinds, (kind, i) => price * kind.length + this.#extra[i]!)
    let bound = 0
    this.#kinds.forEach((kind, i) => {
      bound += kind.demand * Math.min(prices[i]!, kind.unservedCost * this.#fine)
    })
    const asked: CountedPrices = {
      kinds: this.#kinds,
      counted,
      prices,
      fine: this.#fine,
      cell: this.#cell,
    }
    const stocks = this.#problem.stocks.map((stock, b) => {
      const { least, ...counts } = this.#stock(stock, choices[b]!, asked)
      bound += least
      return counts
    })
    const gap = enough - bound
    if (gap <= 0) return { bound, targets: null }
    // a piece that might rather be left unserved need not be cut as often as wanted
    if (counted.kinds.some((i) => this.#kinds[i]!.unservedCost * this.#fine - prices[i]! <= gap))
      return { bound, targets: null }
    let proven = bound
    for (const part of PARTS) {
      const budget = Math.floor(part * gap)
      const few = stocks.every(({ stretches }) => stretches.every((x) => x.find(budget, MOST_OF_A_STRETCH)))
      const best = few ? new CountSum(stocks, counted, budget).best() : null
      if (best === null) break
      proven = bound + Math.min(best.slack, budget)
      if (best.targets) return { bound: proven, targets: best.targets }
    }
    return { bound: proven, targets: null }
  }

  #stock(stock: Stock, choice: OpenChoice, asked: CountedPrices): CountedStock & { least: number } {
    if (!choice.opened)
      return { stretches: [], closedSlack: 0, openSlack: Number.POSITIVE_INFINITY, least: 0 }
    const stretches = stock.stretches.map(
      (length, s) => new CountedStretch(length, choice.stretches[s]!, stock.rest, asked),
    )
    const open = stretches.reduce((sum, stretch) => sum + stretch.least, stock.openCost * this.#fine)
    const least = choice.closed ? Math.min(0, open) : open
    return {
      stretches,
      closedSlack: choice.closed ? -least : Number.POSITIVE_INFINITY,
      openSlack: open - least,
      least,
    }
  }
}

/** Adds stocks up from two sides, so that neither becomes large, and finds where both meet with just what is wanted. */
class CountSum {
  readonly #stocks: readonly CountedStock[]
  readonly #counted: CountedKinds
  readonly #budget: number
  #steps = 0
  #kept = 0

  constructor(stocks: readonly CountedStock[], counted: CountedKinds, budget: number) {
    this.#stocks = stocks
    this.#counted = counted
    this.#budget = budget
  }

  /** Infinite slack where no counts lie within the budget; null when there was too much to add. */
  best(): { slack: number; targets: (StretchTarget | null)[][] | null } | null {
    const sides = [this.#side(), this.#side()] as const
    const [left, right] = sides
    for (const stock of this.#order()) {
      const side = left.states.size <= right.states.size ? left : right
      const step = this.#step(stock, side.states)
      if (step === null) return null
      side.steps.push(step.step)
      side.states = step.states
    }
    let slack = Number.POSITIVE_INFINITY
    let key = 0
    for (let at = 0; at < left.states.size; at++) {
      const both = left.states.slacks[at]! + right.states.slackOf(this.#opposite(left.states.keys[at]!))
      if (both >= slack) continue
      slack = both
      key = left.states.keys[at]!
    }
    if (slack > this.#budget) return { slack: Number.POSITIVE_INFINITY, targets: null }
    const targets: (StretchTarget | null)[][] = this.#stocks.map(() => [])
    this.#trace(left, key, targets)
    this.#trace(right, this.#opposite(key), targets)
    return { slack, targets }
  }

  /** The count on the other side that makes up what is wanted: both sides begin with `start`. */
  #opposite(key: number): number {
    return this.#counted.full - (key - this.#counted.start)
  }

  #side(): Side {
    const states = new CountStates()
    states.offer(this.#counted.start, 0)
    return { steps: [], states }
  }

  /** Stocks with few counts first. */
  #order(): number[] {
    const counts = this.#stocks.map(({ stretches }) =>
      stretches.reduce((product, stretch) => product * stretch.counts.length, 1),
    )
    return Array.from(counts.keys()).sort((a, b) => counts[a]! - counts[b]!)
  }

  #step(stock: number, before: CountStates): { step: Step; states: CountStates } | null {
    const { stretches, openSlack, closedSlack } = this.#stocks[stock]!
    const opened: CountStates[] = []
    let states = this.#moved(before, openSlack)
    for (const stretch of stretches) {
      opened.push(states)
      const next = this.#added(states, stretch)
      if (next === null) return null
      states = next
    }
    opened.push(states)
    const after = this.#moved(before, closedSlack)
    for (let at = 0; at < states.size; at++) after.offer(states.keys[at]!, states.slacks[at]!)
    this.#kept += after.size
    return this.#kept > MOST_KEPT ? null : { step: { stock, before, opened }, states: after }
  }

  #moved(states: CountStates, slack: number): CountStates {
    const moved = new CountStates()
    for (let at = 0; at < states.size; at++)
      if (states.slacks[at]! + slack <= this.#budget)
        moved.offer(states.keys[at]!, states.slacks[at]! + slack)
    return moved
  }

  #added(states: CountStates, { counts, slacks }: CountedStretch): CountStates | null {
    const added = new CountStates()
    const { carries } = this.#counted
    for (let at = 0; at < states.size; at++) {
      const key = states.keys[at]!
      const left = this.#budget - states.slacks[at]!
      let q = 0
      for (; q < counts.length && slacks[q]! <= left; q++) {
        const sum = key + counts[q]!
        // a carry into the bit above a field: more than is wanted
        if (((key ^ counts[q]! ^ sum) & carries) === 0) added.offer(sum, states.slacks[at]! + slacks[q]!)
      }
      this.#steps += q
      if (this.#steps > MOST_STEPS) return null
    }
    this.#kept += added.size
    return this.#kept > MOST_KEPT ? null : added
  }

  /** Goes back from a count to what each stock and stretch gave. */
  #trace(side: Side, end: number, targets: (StretchTarget | null)[][]): void {
    let key = end
    let slack = side.states.slackOf(end)
    for (const { stock, before, opened } of side.steps.reverse()) {
      const { stretches, openSlack, closedSlack } = this.#stocks[stock]!
      if (before.slackOf(key) + closedSlack === slack) {
        slack -= closedSlack
        continue
      }
      for (let s = stretches.length - 1; s >= 0; s--) {
        const { counts, slacks } = stretches[s]!
        const q = counts.findIndex(
          (count, k) =>
            ((key ^ count ^ (key - count)) & this.#counted.carries) === 0 &&
            opened[s]!.slackOf(key - count) + slacks[k]! === slack,
        )
        targets[stock]![s] = stretches[s]!.target(counts[q]!)
        key -= counts[q]!
        slack -= slacks[q]!
      }
      slack -= openSlack
    }
  }
}
