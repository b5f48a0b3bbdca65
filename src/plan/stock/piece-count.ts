import { type CountedStock, CountGraph } from './count-graph.ts'
import { type CountedKinds, countedKinds, valuesOf } from './counted-kinds.ts'
import {
  type CountedPrices,
  CountedStretch,
  type StretchChoice,
  type StretchTargets,
} from './counted-stretch.ts'
import type { StockKind } from './stock-kinds.ts'
import type { Stock, StockProblem } from './stock-problem.ts'

/** Values that the counts of the first pass may have; each later pass counts one kind more. A tuned figure. */
const FIRST_VALUES = 5_000
/** Steps of a first look at a node, and of a second one: a tenth of a second and a second or so. Tuned figures. */
const STEPS = [4_000_000, 60_000_000]
/** Parts of the gap to a plan at hand that counts are looked for within, one after the other: what lies near is found soon. Tuned. */
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
  targets: StretchTargets | null
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
  readonly #counted: CountedKinds
  readonly #first: number
  /** How often one may look, closer each time. */
  readonly looks: number

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
    this.#counted = countedKinds(kinds, Math.max(0, ...problem.stocks.map((stock) => stock.rest.scrapBelow)))
    const first = this.#counted.kinds.findIndex(
      (_, k) => valuesOf(kinds, this.#counted.kinds.slice(0, k + 1)) > FIRST_VALUES,
    )
    this.#first = Math.max(1, first < 0 ? this.#counted.kinds.length : first)
    const cells = problem.stocks.flatMap((stock) => stock.stretches).reduce((sum, x) => sum + x / cell, 0)
    this.looks = cells > MOST_CELLS || this.#counted.kinds.length === 0 ? 0 : STEPS.length
  }

  /** Looks at a node at a price of length. Where there is too much to count the bound rises less or not at all. */
  bound(look: number, choices: readonly OpenChoice[], price: number, enough: number): CountedBound {
    const counted = this.#counted
    const prices = Float64Array.from(this.#kinds, (kind, i) => price * kind.length + this.#extra[i]!)
    // tables for nothing would be large
    if (this.#mayGoUnserved(prices, 0)) return { bound: Number.NEGATIVE_INFINITY, targets: null }
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
    if (gap <= 0 || this.#mayGoUnserved(prices, gap)) return { bound, targets: null }
    let proven = bound
    for (const part of PARTS) {
      const budget = Math.floor(part * gap)
      const least = new CountGraph(stocks, counted, budget, STEPS[look]!).least(this.#first)
      if (least === null) break
      proven = bound + Math.min(least.slack, budget)
      if (least.targets) return { bound: proven, targets: least.targets }
    }
    return { bound: proven, targets: null }
  }

  /** A piece that might rather be left unserved, within a budget, need not be cut as often as wanted: then nothing is counted. */
  #mayGoUnserved(prices: Float64Array, budget: number): boolean {
    return this.#counted.kinds.some((i) => this.#kinds[i]!.unservedCost * this.#fine - prices[i]! <= budget)
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
