import type { Random } from '../random.ts'
import { BranchingKnapsack } from './branching-knapsack.ts'
import { provenCost } from './classic-bound.ts'
import { type Pattern, patternKey, patternOf } from './classic-pattern.ts'
import type { ClassicProblem } from './classic-problem.ts'
import { CoveringSimplex } from './covering-simplex.ts'
import { type FillingKnapsack, TableKnapsack } from './filling-knapsack.ts'

/** Above so many steps of a table a price is sought by branching, at first. */
const TABLE_STEPS = 6e6
/** Above so many bytes there is no table at all. */
const TABLE_BYTES = 120e6
/** Steps of a branching search; beyond, a table answers if it can. */
const BRANCHING_NODES = 300_000
/** Columns added after one pricing. */
const COLUMNS_AT_ONCE = 12

/** What column generation found: a floating-point cost as a guide, and a proven cost that the whole problem cannot go below. */
export interface MasterAnswer {
  guide: number
  proven: number
  /** False when time or pivots ended it. */
  complete: boolean
}

/** A floating-point cost without what rounding and noise may have added. */
export const surely = (guide: number) => guide * (1 - 1e-6) - 1e-4

/**
 * The master problem of Gilmore and Gomory (1961, 1963): least cost of patterns, new ones by a knapsack at the current prices.
 * Prices are smoothed towards the best known ones (Wentges, 1997). Demands may be lowered, as a dive does.
 */
export class ClassicMaster {
  readonly problem: ClassicProblem
  readonly patterns: Pattern[] = []
  readonly simplex: CoveringSimplex
  readonly #known = new Map<string, number>()
  readonly #demand: Int32Array
  readonly #supply: Int32Array
  readonly #barRow: number[]
  readonly #rhs: Float64Array
  readonly #noise: Float64Array
  readonly #costNoise: number[] = []
  readonly #random: Random
  readonly #perCost: number
  readonly #unit: number
  #dearCost = 10
  readonly #clock: () => boolean
  readonly #table = new TableKnapsack()
  readonly #branching = new BranchingKnapsack(null, BRANCHING_NODES)
  readonly #barred = new Set<number>()
  #useTable = false
  #centre: Float64Array
  #centreBound = 0

  /** `clock` says whether there is still time. */
  constructor(problem: ClassicProblem, random: Random, clock: () => boolean) {
    this.problem = problem
    this.#clock = clock
    this.#random = random
    const { pieces, bars } = problem
    const pieceCount = pieces.reduce((sum, piece) => sum + piece.demand, 0)
    this.#demand = Int32Array.from(pieces, (piece) => piece.demand)
    this.#supply = Int32Array.from(bars, (bar) => Math.min(bar.copies, pieceCount))
    let row = pieces.length
    this.#barRow = bars.map((bar) => (bar.copies < pieceCount ? row++ : -1))
    this.#unit = Math.max(...bars.map((bar) => bar.cost))
    this.#perCost = Math.max(1, Math.floor(2 ** 32 / this.#unit))
    this.#rhs = new Float64Array(row)
    // without ties among levels and costs the simplex does not stall; what noise adds to a cost is taken off by `surely`
    this.#noise = Float64Array.from({ length: row }, () => 1e-7 * (1 + random()))
    this.simplex = new CoveringSimplex(row, pieces.length, this.#dearCost)
    this.#centre = new Float64Array(pieces.length)
    const longest = Math.max(...bars.map((bar) => bar.length))
    const passes = pieces.reduce(
      (n, p) => n + Math.ceil(Math.log2(1 + Math.min(p.demand, longest / p.length))),
      0,
    )
    this.#useTable = passes * longest <= TABLE_STEPS
    this.#tableFits = passes * longest <= TABLE_BYTES
    this.#fillRhs()
    this.simplex.reset(this.#rhs)
  }

  readonly #tableFits: boolean

  /** A filling that a plan already uses. */
  addPlanned(bar: number, counts: ArrayLike<number>): void {
    this.addPattern(patternOf(bar, this.problem.bars[bar]!.cost, counts))
  }

  addPattern(pattern: Pattern): number | null {
    const key = patternKey(pattern)
    if (this.#known.has(key)) return null
    const barRow = this.#barRow[pattern.bar]!
    const rows = barRow < 0 ? pattern.rows : [...pattern.rows, barRow]
    const values = barRow < 0 ? pattern.counts : [...pattern.counts, 1]
    this.#costNoise.push(1 + 5e-7 * this.#random())
    const column = this.patterns.length
    this.patterns.push(pattern)
    this.simplex.addColumn(this.#costOf(pattern, column), rows, values)
    this.#known.set(key, column)
    return column
  }

  /** What is still to be served, and with how many of each bar. */
  setResidual(demand: ArrayLike<number>, supply: ArrayLike<number>, barred: ReadonlySet<number>): void {
    this.#demand.set(demand)
    this.#supply.set(supply)
    this.#fillRhs()
    this.simplex.setRhs(this.#rhs)
    this.#barred.clear()
    for (const column of barred) this.#barred.add(column)
    if (!this.simplex.dual(4 * this.simplex.rows + 200)) this.simplex.reset(this.#rhs)
    this.patterns.forEach((pattern, j) => {
      const { needs } = this.simplex
      const forbidden = this.#dearCost * (1 + pattern.counts.reduce((sum, n) => sum + n, 0))
      this.simplex.setCost(needs + j, this.#allowed(pattern, j) ? this.#costOf(pattern, j) : forbidden)
    })
    this.#centreBound = 0
  }

  /**
   * Prices settle over all patterns. Stops early once the proven cost says as much as the guide can, or once `enough` is reached
   * (a dive only needs to know whether its target is still within reach).
   */
  settle(enough: number): MasterAnswer {
    const problem = this.#residualProblem()
    let proven = 0
    let weight = 0.4
    for (;;) {
      if (!this.simplex.primal(20_000)) this.simplex.reset(this.#rhs)
      const guide = this.simplex.objective() * this.#unit
      if (proven >= surely(guide)) return { guide, proven, complete: true }
      if (guide <= enough) return { guide, proven, complete: false }
      if (!this.#clock()) return { guide, proven, complete: false }
      const duals = this.simplex.duals.slice(0, problem.pieces.length)
      const smooth =
        this.#centreBound > 0 ? duals.map((d, i) => weight * this.#centre[i]! + (1 - weight) * d) : duals
      const { added, bound, prices } = this.#price(problem, smooth)
      proven = Math.max(proven, bound)
      if (bound >= this.#centreBound) {
        this.#centreBound = bound
        this.#centre = prices
      }
      if (added > 0) continue
      if (weight === 0 || this.#centreBound === 0 || smooth === duals)
        return { guide: this.simplex.objective() * this.#unit, proven, complete: true }
      weight = weight < 0.1 ? 0 : weight / 2
    }
  }

  /** Whether pieces are missing in the current answer. */
  missing(): boolean {
    const { needs, basic, level } = this.simplex
    return basic.some((code, i) => code >= 0 && code < needs && level[i]! > 1e-4)
  }

  /** Makes a missing piece so dear that a bound tells whether one must be missing. */
  insist(): void {
    this.#dearCost *= 1000
    this.simplex.setDear(this.#dearCost)
    this.#centreBound = 0
  }

  /** Levels of the patterns in the current answer. */
  used(): { column: number; level: number }[] {
    const used: { column: number; level: number }[] = []
    for (let i = 0; i < this.simplex.rows; i++) {
      const column = this.simplex.basic[i]! - this.simplex.needs
      if (column >= 0 && this.simplex.level[i]! > 1e-6) used.push({ column, level: this.simplex.level[i]! })
    }
    return used
  }

  #costOf(pattern: Pattern, column: number): number {
    return (pattern.cost / this.#unit) * this.#costNoise[column]!
  }

  #fillRhs(): void {
    const n = this.problem.pieces.length
    this.#rhs.fill(0)
    for (let i = 0; i < n; i++) this.#rhs[i] = this.#demand[i]! > 0 ? this.#demand[i]! + this.#noise[i]! : 0
    this.#barRow.forEach((row, k) => {
      if (row >= 0) this.#rhs[row] = this.#supply[k]! + this.#noise[row]!
    })
  }

  #allowed(pattern: Pattern, column: number): boolean {
    if (this.#barred.has(column) || this.#supply[pattern.bar]! < 1) return false
    for (let k = 0; k < pattern.rows.length; k++)
      if (pattern.counts[k]! > this.#demand[pattern.rows[k]!]!) return false
    return true
  }

  #residualProblem(): ClassicProblem {
    return {
      pieces: this.problem.pieces.map((piece, i) => ({ ...piece, demand: this.#demand[i]! })),
      bars: this.problem.bars.map((bar, k) => ({ ...bar, copies: this.#supply[k]! })),
    }
  }

  /** New patterns at these prices, and what the prices prove. */
  #price(
    problem: ClassicProblem,
    duals: Float64Array,
  ): { added: number; bound: number; prices: Float64Array } {
    const { pieces, bars } = problem
    const scale = this.#unit * this.#perCost
    const prices = Float64Array.from(pieces, (_, i) => Math.max(0, Math.floor(duals[i]! * scale)))
    const offers = {
      lengths: Int32Array.from(pieces, (piece) => piece.length),
      caps: Int32Array.from(pieces, (piece) => piece.demand),
      worths: prices,
    }
    const longest = bars.reduce((most, bar) => (bar.copies > 0 ? Math.max(most, bar.length) : most), 0)
    const worths = new Float64Array(bars.length)
    let knapsack: FillingKnapsack = this.#useTable ? this.#table : this.#branching
    knapsack.load(offers, longest)
    let added = 0
    bars.forEach((bar, k) => {
      if (bar.copies === 0) return
      let worth = knapsack.best(bar.length)
      if (knapsack === this.#branching && this.#branching.bound(bar.length) > worth) {
        if (this.#tableFits) {
          this.#useTable = true
          knapsack = this.#table
          knapsack.load(offers, longest)
          worth = knapsack.best(bar.length)
        } else worth = this.#branching.bound(bar.length)
      }
      worths[k] = worth
      added += this.#take(k, knapsack.counts(bar.length))
    })
    if (knapsack === this.#table) added += this.#takeMore(offers.lengths, offers.caps, prices)
    const bound = provenCost(problem, { perCost: this.#perCost, prices, worths })
    return { added, bound, prices: duals.slice() }
  }

  /** Adds the pattern if it is new and pays at the prices of the simplex itself. */
  #take(k: number, counts: ArrayLike<number>): number {
    const bar = this.problem.bars[k]!
    let reduced = bar.cost / this.#unit
    const row = this.#barRow[k]!
    if (row >= 0) reduced -= this.simplex.duals[row]!
    for (let i = 0; i < counts.length; i++) reduced -= counts[i]! * this.simplex.duals[i]!
    if (reduced > -1e-7) return 0
    return this.addPattern(patternOf(k, bar.cost, counts)) === null ? 0 : 1
  }

  /** The best patterns that hold a certain piece, for pieces that no pattern of this turn holds yet. */
  #takeMore(lengths: Int32Array, caps: Int32Array, prices: Float64Array): number {
    const { bars } = this.problem
    let added = 0
    const held = new Uint8Array(lengths.length)
    const order = Array.from(lengths.keys()).filter((i) => prices[i]! > 0 && caps[i]! > 0)
    for (let k = 0; k < bars.length && added < COLUMNS_AT_ONCE; k++) {
      if (this.#supply[k]! === 0) continue
      const { length } = bars[k]!
      const worth = (i: number) =>
        lengths[i]! > length ? 0 : this.#table.best(length - lengths[i]!) + prices[i]!
      const ranked = order.map((i) => ({ i, worth: worth(i) })).sort((a, b) => b.worth - a.worth)
      for (const { i } of ranked) {
        if (added >= COLUMNS_AT_ONCE) break
        if (held[i] === 1 || lengths[i]! > length) continue
        const counts = this.#table.counts(length - lengths[i]!)
        if (counts[i]! >= caps[i]!) continue
        counts[i] = counts[i]! + 1
        if (this.#take(k, counts) === 0) continue
        added++
        for (let j = 0; j < counts.length; j++) if (counts[j]! > 0) held[j] = 1
      }
    }
    return added
  }
}
