import type { Random } from '../random.ts'
import { countedDeal } from './counted-deal.ts'
import type { StretchTargets } from './counted-stretch.ts'
import { LengthBound } from './length-bound.ts'
import { type StockKind, stockKinds } from './stock-kinds.ts'
import { StockLayout } from './stock-layout.ts'
import { planOf, type StockPlan } from './stock-plan.ts'
import type { StockProblem } from './stock-problem.ts'
import { StockSearch } from './stock-search.ts'
import { StretchFiller } from './stretch-filler.ts'

/** Turns of a first annealing, and the most of a later one. */
const FIRST_TURNS = 100
const MOST_TURNS = 4_000
/** Nodes of the bound between two annealings. */
const NODES = 50
/** The stocks that the bound opens are tried so often, unless all is served from them before. A tuned figure. */
const MOST_TRIES = 5
/** Rounds of pricing where pieces get prices of their own. */
const PRICE_ROUNDS = 60
const ROUNDS_BEFORE_PRICES = 6
/** Turns of a repair that leave most as it is. */
const MEND_TURNS = 60
/**
 * Rounds of a repair after that, each with twice the turns and nodes of the one before: turns of all of them, and for each stock; stocks
 * to a node of the first, and the most of these. Tuned figures: a repair is to take no longer than the blink of an eye.
 */
const REPAIR_ROUNDS = 4
const REPAIR_TURNS = 100
const REPAIR_TURNS_A_STOCK = 5
const REPAIR_STOCKS_A_NODE = 15
const REPAIR_MOST_NODES = 10
/** Heat of a round that polishes. */
const COOL = 0.1

/** A stock problem in the solving: a plan and a proven bound from the start, better ones with work. */
export class StockSolver {
  readonly #kinds: readonly StockKind[]
  readonly #filler: StretchFiller
  readonly #random: Random
  readonly #bound: LengthBound
  readonly #scale: number
  #problem: StockProblem
  #search: StockSearch
  #turns = FIRST_TURNS
  #growing = true
  #refined = false
  #rounds = 0
  /** What counting last wanted of each stretch: dealt out anew while nothing else is left to do. */
  #wanted: StretchTargets | null = null
  /** How often stocks were tried, by which they are. */
  readonly #tries = new Map<string, number>()

  constructor(problem: StockProblem, random: Random) {
    this.#problem = problem
    this.#random = random
    this.#kinds = stockKinds(problem)
    this.#filler = new StretchFiller(this.#kinds, random)
    this.#search = this.#searchFrom(new StockLayout(problem, this.#kinds))
    this.#search.fill()
    this.#bound = new LengthBound(problem, this.#kinds)
    const costs = problem.stocks.map((stock) => stock.openCost).sort((a, b) => a - b)
    const rates = this.#kinds.map((kind) => kind.unservedCost / kind.length)
    // where not all can be served a decision is about a cell more or less that is
    this.#scale = this.#search.short
      ? 3 * this.#filler.cell * Math.min(...rates)
      : (costs[Math.floor(costs.length * 0.75)] ?? 1)
  }

  get cost(): number {
    return this.#search.best.cost
  }

  /** Proven in whole numbers: no plan costs less. */
  get bound(): number {
    return Math.min(this.#bound.cost, this.cost)
  }

  get plan(): StockPlan {
    return planOf(this.#search.best)
  }

  /** One round of improvement. False when the plan is proven best. */
  improve(): boolean {
    if (this.bound >= this.cost) return false
    // cool rounds polish, hot ones leave the valley
    const heat = this.#rounds++ % 2 === 0 ? COOL : 1
    this.#search.anneal(this.#turns, heat * this.#scale, () => this.bound >= this.cost)
    this.#openAsBound(this.#turns, heat)
    this.#turns = Math.min(MOST_TURNS, 2 * this.#turns)
    if (this.#growing) this.#growing = this.#bound.grow(NODES, this.cost, (targets) => this.#take(targets))
    else if (!this.#refined && this.#rounds > ROUNDS_BEFORE_PRICES) {
      this.#refined = true
      this.#growing = this.#bound.refine(this.#problem, this.#search.best, PRICE_ROUNDS)
    } else if (this.#wanted) this.#take(this.#wanted)
    return this.bound < this.cost
  }

  /**
   * The stocks have changed (a fault, a hold): every stock keeps its pieces where they still fit, and only the changed ones and a few
   * beside them are filled again; more and more of them while pieces are missing that were not missing before. The bound is renewed.
   */
  repair(problem: StockProblem): void {
    const before = this.#search.best
    const layout = new StockLayout(problem, this.#kinds)
    const changed: number[] = []
    problem.stocks.forEach((stock, b) => {
      const old = this.#problem.stocks.indexOf(stock)
      if (old < 0) changed.push(b)
      else
        before.cuts[old]!.forEach((cut, s) => {
          if (cut.length > 0) layout.put(b, s, cut)
        })
    })
    layout.recount()
    this.#problem = problem
    this.#search = this.#searchFrom(layout)
    this.#search.mend(changed, MEND_TURNS, before.missingCost())
    this.#bound.restart(problem)
    this.#tries.clear()
    this.#polish(problem.stocks.length)
    this.#growing = true
    this.#refined = false
    this.#wanted = null
    this.#turns = FIRST_TURNS
  }

  /** Betters what a repair has mended: half of the turns with the stocks that the bound opens, as far as it is grown by then. */
  #polish(stocks: number): void {
    const turns = REPAIR_TURNS + REPAIR_TURNS_A_STOCK * stocks
    const nodes = Math.min(REPAIR_MOST_NODES, Math.ceil(stocks / REPAIR_STOCKS_A_NODE))
    for (let k = 0; k < REPAIR_ROUNDS && this.bound < this.cost; k++) {
      this.#bound.grow(nodes * 2 ** k, this.cost, () => {})
      const half = Math.ceil((turns * 2 ** k) / 2 ** REPAIR_ROUNDS / 2)
      this.#openAsBound(half, COOL)
      this.#search.anneal(half, COOL * this.#scale, () => this.bound >= this.cost)
    }
  }

  /** Plans with the stocks that the bound opens: far fewer choices, and mostly the right ones. */
  #openAsBound(turns: number, heat: number): void {
    const opened = this.#bound.opened()
    const key = String(opened)
    const tries = this.#tries.get(key) ?? 0
    if (opened === null || this.#search.short || tries >= MOST_TRIES) return
    const all = this.#search.openOnly(opened, turns, heat * this.#scale)
    this.#tries.set(key, all ? MOST_TRIES : tries + 1)
  }

  /** A plan after what counting wants of each stretch. */
  #take(targets: StretchTargets): void {
    this.#wanted = targets
    const empty = new StockLayout(this.#problem, this.#kinds)
    const layout = countedDeal(empty, targets, this.#filler, this.#random)
    if (layout !== null && layout.cost < this.cost) this.#search.best = layout
  }

  #searchFrom(layout: StockLayout): StockSearch {
    return new StockSearch(layout, this.#filler, this.#filler.cell, this.#random)
  }
}
