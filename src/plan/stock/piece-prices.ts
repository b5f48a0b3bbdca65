import { CoveringSimplex } from './covering-simplex.ts'
import { ExactFill } from './exact-fill.ts'
import type { StockKind } from './stock-kinds.ts'
import type { StretchCut } from './stock-layout.ts'
import type { StockProblem } from './stock-problem.ts'

/** How much of the best prices so far is kept in the next (Wentges 1997). */
const SMOOTHING = 0.5
/**
 * A piece more than is wanted costs so many openings: pieces are cut exactly as often as wanted, for what costs by what is left over would
 * else be the less the more is cut that nobody wants. A figure that no price comes near.
 */
const SURPLUS = 50

/**
 * Prices of the pieces beyond their length, by column generation over whole stocks (Gilmore and Gomory): one exact fill prices every
 * stretch at once. Prices are whole numbers of 1/fine of a cost unit; the bound that they prove is taken elsewhere.
 */
export class PiecePrices {
  readonly #problem: StockProblem
  readonly #kinds: readonly StockKind[]
  readonly #cell: number
  readonly #fine: number
  readonly #fill: ExactFill
  readonly #simplex: CoveringSimplex
  readonly #unit: number
  /** Best prices so far, and the cost that they prove by themselves. */
  best: Float64Array
  #bestCost = Number.NEGATIVE_INFINITY

  constructor(problem: StockProblem, kinds: readonly StockKind[], cell: number, fine: number, price: number) {
    this.#problem = problem
    this.#kinds = kinds
    this.#cell = cell
    this.#fine = fine
    const longest = Math.max(...problem.stocks.flatMap((stock) => stock.stretches))
    this.#fill = new ExactFill(kinds, cell, Math.floor(longest / cell))
    this.#unit = Math.max(...problem.stocks.map((stock) => stock.openCost))
    const rows = kinds.length + problem.stocks.length
    this.#simplex = new CoveringSimplex(rows, kinds.length, 1, SURPLUS)
    kinds.forEach((kind, i) => {
      this.#simplex.setCost(i, kind.unservedCost / this.#unit)
    })
    this.#simplex.reset(
      Float64Array.from(
        { length: rows },
        (_, i) => (kinds[i]?.demand ?? 1) + 1e-7 * (1 + ((i * 0.618034) % 1)),
      ),
    )
    this.best = Float64Array.from(kinds, (kind) => price * kind.length)
  }

  /** The stocks of a plan as columns to start from. */
  addLayout(cuts: readonly (readonly StretchCut[])[], costs: ArrayLike<number>): void {
    cuts.forEach((stretches, b) => {
      if (stretches.some((cut) => cut.length > 0)) this.#add(b, stretches, costs[b]!)
    })
  }

  /** Rounds of pricing; false once the prices have settled. */
  settle(rounds: number, clock: () => boolean): boolean {
    let prices = this.best
    let smoothing = SMOOTHING
    for (let k = 0; k < rounds && clock(); k++) {
      const { cost, added } = this.#price(prices)
      if (cost > this.#bestCost) {
        this.#bestCost = cost
        this.best = prices
      }
      if (added === 0) {
        if (smoothing === 0) return false
        smoothing = smoothing < 0.1 ? 0 : smoothing / 2
      } else smoothing = Math.min(SMOOTHING, smoothing + 0.1)
      this.#simplex.primal(20_000)
      prices = Float64Array.from(this.#kinds, (kind, i) => {
        const dual = Math.min(this.#simplex.duals[i]! * this.#unit, kind.unservedCost) * this.#fine
        return Math.floor(smoothing * this.best[i]! + (1 - smoothing) * dual)
      })
    }
    return true
  }

  /** The table of the best prices, for curves. */
  table(): Float64Array {
    this.#fill.run(this.best)
    return this.#fill.table
  }

  #add(b: number, stretches: readonly StretchCut[], cost: number): boolean {
    const counts = new Map<number, number>()
    for (const cut of stretches)
      for (const { kind, count } of cut) counts.set(kind, (counts.get(kind) ?? 0) + count)
    const rows = [...counts.keys(), this.#kinds.length + b]
    const values = [...counts.values(), 1]
    let reduced = cost / this.#unit
    rows.forEach((row, k) => {
      reduced -= this.#simplex.duals[row]! * values[k]!
    })
    if (reduced > -1e-7) return false
    this.#simplex.addColumn(cost / this.#unit, rows, values)
    return true
  }

  #price(prices: Float64Array): { cost: number; added: number } {
    this.#fill.run(prices)
    const { table } = this.#fill
    let total = 0
    this.#kinds.forEach((kind, i) => {
      total += kind.demand * Math.min(prices[i]!, kind.unservedCost * this.#fine)
    })
    let added = 0
    this.#problem.stocks.forEach((stock, b) => {
      let cost = stock.openCost
      let reduced = stock.openCost * this.#fine
      const stretches = stock.stretches.map((length) => {
        let least = 0
        let at = 0
        for (let c = 1; c * this.#cell <= length; c++) {
          if (table[c] === Number.NEGATIVE_INFINITY) continue
          const value = stock.rest.cost(length - c * this.#cell) * this.#fine - table[c]!
          if (value < least) {
            least = value
            at = c
          }
        }
        if (at === 0) return []
        reduced += least
        cost += stock.rest.cost(length - at * this.#cell)
        return this.#fill.counts(at)
      })
      total += Math.min(0, reduced)
      if (stretches.some((cut) => cut.length > 0) && this.#add(b, stretches, cost)) added++
    })
    return { cost: total, added }
  }
}
