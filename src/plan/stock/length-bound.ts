import { commonDivisor } from './common-divisor.ts'
import { CostCurve } from './cost-curve.ts'
import type { StretchTargets } from './counted-stretch.ts'
import { ExactFill } from './exact-fill.ts'
import { type LengthStock, LengthTree } from './length-tree.ts'
import { PieceCount } from './piece-count.ts'
import { PiecePrices } from './piece-prices.ts'
import { ReachableLengths } from './reachable-lengths.ts'
import type { StockKind } from './stock-kinds.ts'
import type { StockLayout } from './stock-layout.ts'
import type { Stock, StockProblem } from './stock-problem.ts'

/** Parts of a cost unit in which prices of a unit of length are counted, as long as sums stay exact. */
const FINE = 1000
/** Above so many cells every length counts as reachable. */
const MOST_CELLS = 4_000_000
/** Leftovers that count as scrap are looked at cell by cell up to so many cells. */
const SCRAP_CELLS = 4096
/** A kept leftover is looked at in steps of this part of itself: what is lost is far below a thousandth of an opening. */
const KEPT_STEP = 1 / 64

/** Largest table for prices of pieces, in cells and bytes. */
const REFINED_CELLS = 100_000
const REFINED_BYTES = 40e6

/** The proven bound of a stock problem by lengths, as far as it is branched. Costs are in the problem's own units. */
export class LengthBound {
  readonly #kinds: readonly StockKind[]
  readonly #cell: number
  readonly #reachable: ReachableLengths | null
  readonly #curves = new Map<Stock, LengthStock>()
  #tree: LengthTree
  #fine = FINE
  /** What an earlier tree has proven, in units of 1/fine. */
  #proven = Number.NEGATIVE_INFINITY
  /** Price of length at the root. */
  #price = 0

  constructor(problem: StockProblem, kinds: readonly StockKind[]) {
    this.#kinds = kinds
    this.#cell = Math.max(
      1,
      kinds.reduce((common, kind) => commonDivisor(common, kind.length), 0),
    )
    const longest = Math.max(0, ...problem.stocks.flatMap((stock) => stock.stretches))
    const cells = Math.floor(longest / this.#cell)
    this.#reachable =
      cells > MOST_CELLS
        ? null
        : new ReachableLengths(
            cells,
            kinds.map((kind) => ({ length: kind.length / this.#cell, count: kind.demand })),
          )
    this.#tree = this.#start(problem, 0)
  }

  /** No plan costs less. Rounded up: costs are whole. */
  get cost(): number {
    return Math.ceil(Math.max(this.#tree.bound, this.#proven) / this.#fine)
  }

  /** Which stocks a plan that costs no more than the bound would open, as far as lengths tell. */
  opened(): boolean[] | null {
    return this.#tree.opened()
  }

  /** Branches on; false when there is nothing left to do below `enough`. What counting wants of each stretch is shown to `wanted`. */
  grow(nodes: number, enough: number, wanted: (targets: StretchTargets) => void): boolean {
    return this.#tree.grow(nodes, enough * this.#fine, wanted)
  }

  /**
   * Pieces get prices of their own beside their length, and branching starts again with them: slower and closer. Only where every
   * length can be tabled.
   */
  refine(problem: StockProblem, layout: StockLayout, rounds: number): boolean {
    const longest = Math.max(0, ...problem.stocks.flatMap((stock) => stock.stretches))
    const cells = Math.floor(longest / this.#cell)
    if (
      cells < 1 ||
      this.#kinds.length === 0 ||
      cells > REFINED_CELLS ||
      ExactFill.bytes(this.#kinds, cells) > REFINED_BYTES
    )
      return false
    const prices = new PiecePrices(problem, this.#kinds, this.#cell, this.#fine, this.#price)
    prices.addLayout(layout.cuts, layout.stockCost)
    prices.settle(rounds, () => true)
    const table = prices.table()
    const tree = new LengthTree(
      problem.stocks.map((stock) => ({
        openCost: stock.openCost,
        stretches: stock.stretches.map((length) => this.#tabled(stock, length, table)),
      })),
      this.#kinds.map((kind, i) => ({ ...kind, extra: prices.best[i]! })),
      this.#fine,
      new PieceCount(problem, this.#kinds, this.#cell, this.#fine, prices.best),
    )
    tree.start(0)
    if (!tree.exact) return false
    this.#proven = Math.max(this.#proven, this.#tree.bound)
    this.#tree = tree
    return true
  }

  #tabled(stock: Stock, length: number, table: Float64Array): { kept: CostCurve; used: CostCurve } {
    const points = {
      kept: { lengths: [] as number[], costs: [] as number[] },
      used: { lengths: [] as number[], costs: [] as number[] },
    }
    for (let c = 1; c * this.#cell <= length; c++) {
      if (table[c] === Number.NEGATIVE_INFINITY) continue
      const rest = length - c * this.#cell
      const to = rest >= stock.rest.scrapBelow ? points.kept : points.used
      to.lengths.push(c * this.#cell)
      to.costs.push(stock.rest.cost(rest) * this.#fine - table[c]!)
    }
    return {
      kept: new CostCurve(points.kept.lengths, points.kept.costs),
      used: new CostCurve(points.used.lengths, points.used.costs),
    }
  }

  /** The same for stocks of which some have changed: what is known of the others stays, and so does the price to start from. */
  restart(problem: StockProblem): void {
    this.#proven = Number.NEGATIVE_INFINITY
    this.#tree = this.#start(problem, this.#price)
  }

  #start(problem: StockProblem, price: number): LengthTree {
    for (;;) {
      const demands = this.#kinds.map((kind) => ({ ...kind, extra: 0 }))
      const tree = new LengthTree(
        problem.stocks.map((stock) => this.#curvesOf(stock)),
        demands,
        this.#fine,
        null,
      )
      tree.start(price)
      this.#price = tree.price
      if (tree.exact || this.#fine === 1) return tree
      this.#fine /= 10
      this.#curves.clear()
    }
  }

  #curvesOf(stock: Stock): LengthStock {
    let curves = this.#curves.get(stock)
    if (!curves) {
      curves = {
        openCost: stock.openCost,
        stretches: stock.stretches.map((length) => ({
          kept: this.#kept(stock, length),
          used: this.#used(stock, length),
        })),
      }
      this.#curves.set(stock, curves)
    }
    return curves
  }

  /** Kept leftovers: the longer the cheaper, so that within a step the longest of it is the least. */
  #kept(stock: Stock, length: number): CostCurve {
    const lengths: number[] = []
    const costs: number[] = []
    const shortest = this.#kinds[this.#kinds.length - 1]?.length ?? length + 1
    let rest = length - shortest
    while (rest >= stock.rest.scrapBelow) {
      const step = Math.max(this.#cell, Math.floor(rest * KEPT_STEP))
      lengths.push(length - Math.max(rest - step, stock.rest.scrapBelow))
      costs.push(stock.rest.cost(rest) * this.#fine)
      if (lengths.length === 1) {
        lengths.unshift(length - rest)
        costs.unshift(costs[0]!)
      }
      rest -= step
    }
    return new CostCurve(lengths, costs)
  }

  /** Leftovers that are scrap: the longer the dearer. */
  #used(stock: Stock, length: number): CostCurve {
    const lengths: number[] = []
    const costs: number[] = []
    const longest = Math.min(stock.rest.scrapBelow - 1, length - 1)
    if (this.#reachable !== null && longest / this.#cell <= SCRAP_CELLS) {
      for (let c = Math.ceil((length - longest) / this.#cell); c * this.#cell <= length; c++) {
        if (c < 1 || !this.#reachable.has(c)) continue
        lengths.push(c * this.#cell)
        costs.push(stock.rest.cost(length - c * this.#cell) * this.#fine)
      }
      return new CostCurve(lengths, costs)
    }
    // off any grid: every leftover is thought possible, in steps that count as their shortest
    const step = Math.max(1, Math.ceil(longest / SCRAP_CELLS))
    for (let rest = longest; rest >= 0; rest -= step) {
      const least = stock.rest.cost(Math.max(0, rest - step + 1)) * this.#fine
      lengths.push(length - rest, length - Math.max(0, rest - step + 1))
      costs.push(least, least)
    }
    return new CostCurve(lengths, costs)
  }
}
