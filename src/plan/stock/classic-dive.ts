import type { Random } from '../random.ts'
import { firstFit, type Residual, type ValueCorrection } from './classic-greedy.ts'
import { type ClassicMaster, surely } from './classic-master.ts'
import type { CutBars } from './classic-problem.ts'

/** A rest of at most so many bars is also tried by value correction, so many times. */
const CORRECTED_BARS = 6
const CORRECTIONS = 2

/** Dives that start again where so many bars are left. */
const LATE_BARS = 40
const LATE_DIVES = 10

/** Bars of a plan that are cut anew at a time, and how often a dive for them steps back. Tuned figures. */
const MENDED_LEAST = 2
const MENDED_MOST = 8
const MENDED_BACKTRACKS = 4

/** How often the second choice is taken for the first. A tuned figure. */
const BLUR = 0.15

interface Depth {
  residual: Residual
  spent: number
  plan: CutBars[]
}

/**
 * From the fractional answer of the master problem to whole bars: fix what is surely whole, round the largest fraction up,
 * let the prices settle for the rest, and so on. Where the target slips out of reach it steps back and tries the next pattern,
 * a few times (limited discrepancy search, Harvey and Ginsberg 1995).
 */
export class Dive {
  readonly #master: ClassicMaster
  readonly #correction: ValueCorrection
  readonly #random: Random
  readonly #clock: () => boolean
  readonly #step: number
  #target = 0
  #backtracks = 0

  /** `step` divides the cost of every plan. */
  constructor(
    master: ClassicMaster,
    correction: ValueCorrection,
    step: number,
    random: Random,
    clock: () => boolean,
  ) {
    this.#master = master
    this.#correction = correction
    this.#step = step
    this.#random = random
    this.#clock = clock
  }

  /** A plan that costs at most `target`, or null. */
  run(target: number, discrepancies: number, backtracks: number): CutBars[] | null {
    this.#target = target
    this.#backtracks = backtracks
    const { pieces, bars } = this.#master.problem
    const pieceCount = pieces.reduce((sum, piece) => sum + piece.demand, 0)
    const residual = {
      demand: Int32Array.from(pieces, (piece) => piece.demand),
      supply: Int32Array.from(bars, (bar) => Math.min(bar.copies, pieceCount)),
    }
    this.#late = null
    this.#blur = BLUR
    const found = this.#explore({ residual, spent: 0, plan: [] }, new Set(), discrepancies)
    if (found || this.#late === null) return found
    // the last bars decide: they are dived for again, in other orders
    this.#blur = 0.4
    const late: Depth = this.#late
    for (let r = 0; r < LATE_DIVES && this.#clock(); r++) {
      this.#backtracks = 5
      const again = this.#explore(late, new Set(), 1)
      if (again) return again
    }
    return null
  }

  /** The same plan with some of its bars cut anew, for at most `target`; null where that was not found. */
  mend(plan: readonly CutBars[], target: number): CutBars[] | null {
    const { bars, pieces } = this.#master.problem
    const each = plan.flatMap(({ bar, times, counts }) =>
      Array.from({ length: times }, () => ({ bar, times: 1, counts })),
    )
    const open = MENDED_LEAST + Math.floor(this.#random() * (MENDED_MOST - MENDED_LEAST + 1))
    for (let n = 0; n < Math.min(open, each.length); n++) {
      const other = n + Math.floor(this.#random() * (each.length - n))
      const drawn = each[other]!
      each[other] = each[n]!
      each[n] = drawn
    }
    const kept = each.slice(open)
    const demand = new Int32Array(pieces.length)
    for (const { counts } of each.slice(0, open))
      for (const [i, n] of counts.entries()) demand[i] = demand[i]! + n
    const supply = Int32Array.from(bars, (bar) => Math.min(bar.copies, each.length + open))
    for (const { bar } of kept) supply[bar] = supply[bar]! - 1
    const spent = kept.reduce((sum, { bar }) => sum + bars[bar]!.cost, 0)
    this.#target = target
    this.#backtracks = MENDED_BACKTRACKS
    this.#blur = BLUR
    return this.#explore({ residual: { demand, supply }, spent, plan: kept }, new Set(), 1)
  }

  /** Where so few bars are left that another dive from there is quick. */
  #late: Depth | null = null
  /** How often the second choice is taken for the first. */
  #blur = 0

  #explore(depth: Depth, barred: ReadonlySet<number>, discrepancies: number): CutBars[] | null {
    const finished = this.#finish(depth)
    if (finished) return finished
    if (!this.#clock()) return null
    const master = this.#master
    const room = this.#target - depth.spent
    const { residual } = depth
    master.setResidual(residual.demand, residual.supply, barred)
    const answer = master.settle(0)
    const least = Math.max(answer.proven, Math.ceil(surely(answer.guide) / this.#step) * this.#step)
    if (least > room || master.missing()) return null
    const used = master.used()
    const next = this.#fixed(depth, used)
    if (next.plan.length > depth.plan.length) return this.#explore(next, barred, discrepancies)
    used.sort((a, b) => b.level - a.level)
    const bar = new Set(barred)
    for (let choice = 0; choice <= discrepancies && choice < used.length; choice++) {
      if (choice > 0 && --this.#backtracks < 0) return null
      const { column } = used[this.#random() < this.#blur ? Math.min(choice + 1, used.length - 1) : choice]!
      const found = this.#explore(this.#take(depth, column, 1), bar, discrepancies - choice)
      if (found) return found
      if (!this.#clock()) return null
      bar.add(column)
    }
    return null
  }

  /** Everything whole in the answer is kept; levels of 2.6 count as 2. */
  #fixed(depth: Depth, used: readonly { column: number; level: number }[]): Depth {
    let next = depth
    for (const { column, level } of used) {
      const times = Math.floor(level + 1e-4)
      if (times > 0) next = this.#take(next, column, times)
    }
    return next
  }

  #take(depth: Depth, column: number, times: number): Depth {
    const pattern = this.#master.patterns[column]!
    const demand = depth.residual.demand.slice()
    const supply = depth.residual.supply.slice()
    const counts: number[] = new Array(demand.length).fill(0)
    let most = Math.min(times, supply[pattern.bar]!)
    pattern.rows.forEach((i, k) => {
      most = Math.min(most, Math.floor(demand[i]! / pattern.counts[k]!))
    })
    if (most === 0) return depth
    pattern.rows.forEach((i, k) => {
      counts[i] = pattern.counts[k]!
      demand[i] = demand[i]! - most * pattern.counts[k]!
    })
    supply[pattern.bar] = supply[pattern.bar]! - most
    return {
      residual: { demand, supply },
      spent: depth.spent + most * pattern.cost,
      plan: [...depth.plan, { bar: pattern.bar, times: most, counts }],
    }
  }

  #finish(depth: Depth): CutBars[] | null {
    const { residual, spent, plan } = depth
    const room = this.#target - spent
    if (residual.demand.every((n) => n === 0)) return room >= 0 ? plan : null
    const { bars } = this.#master.problem
    const rest = firstFit(this.#master.problem, residual)
    if (rest && rest.reduce((sum, { bar }) => sum + bars[bar]!.cost, 0) <= room) return [...plan, ...rest]
    const left = residual.demand.reduce((sum, n, i) => sum + n * this.#master.problem.pieces[i]!.length, 0)
    const longest = Math.max(...bars.map((bar) => bar.length))
    if (bars.length > 1 && this.#late === null && plan.length > 0 && left <= LATE_BARS * longest)
      this.#late = depth
    if (left > CORRECTED_BARS * longest) return null
    for (let r = 0; r < CORRECTIONS; r++) {
      const corrected = this.#correction.round(residual, room)
      if (corrected) return [...plan, ...corrected]
    }
    return null
  }
}
