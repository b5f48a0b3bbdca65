import type { StockKind } from './stock-kinds.ts'
import type { StockProblem } from './stock-problem.ts'

export type StretchCut = { kind: number; count: number }[]

/** A plan in the making: what each stretch gives by kind of piece, what is still to be served, what it costs. */
export class StockLayout {
  readonly problem: StockProblem
  readonly kinds: readonly StockKind[]
  /** Pieces by stock and stretch. */
  readonly cuts: StretchCut[][]
  readonly missing: Int32Array
  readonly stockCost: Float64Array
  cost = 0

  constructor(problem: StockProblem, kinds: readonly StockKind[]) {
    this.problem = problem
    this.kinds = kinds
    this.cuts = problem.stocks.map((stock) => stock.stretches.map(() => []))
    this.missing = Int32Array.from(kinds, (kind) => kind.demand)
    this.stockCost = new Float64Array(problem.stocks.length)
    this.recount()
  }

  copy(): StockLayout {
    const copy = new StockLayout(this.problem, this.kinds)
    this.cuts.forEach((cuts, b) => {
      copy.cuts[b] = cuts.slice()
    })
    copy.missing.set(this.missing)
    copy.stockCost.set(this.stockCost)
    copy.cost = this.cost
    return copy
  }

  recount(): void {
    this.cost = this.missingCost()
    this.problem.stocks.forEach((_, b) => {
      this.stockCost[b] = this.costOf(b, this.cuts[b]!)
      this.cost += this.stockCost[b]!
    })
  }

  missingCost(): number {
    let cost = 0
    for (let i = 0; i < this.kinds.length; i++) cost += this.missing[i]! * this.kinds[i]!.unservedCost
    return cost
  }

  /** Whether anything is cut of a stock. */
  opened(b: number): boolean {
    return this.cuts[b]!.some((cut) => cut.length > 0)
  }

  /** Length of the pieces on a stretch. */
  taken(b: number, s: number): number {
    return this.cuts[b]![s]!.reduce((sum, { kind, count }) => sum + count * this.kinds[kind]!.length, 0)
  }

  costOf(b: number, cuts: readonly StretchCut[]): number {
    const stock = this.problem.stocks[b]!
    let cost = 0
    for (let s = 0; s < cuts.length; s++) {
      if (cuts[s]!.length === 0) continue
      let rest = stock.stretches[s]!
      for (const { kind, count } of cuts[s]!) rest -= count * this.kinds[kind]!.length
      cost += stock.rest.cost(rest)
    }
    return cost > 0 || cuts.some((cut) => cut.length > 0) ? cost + stock.openCost : 0
  }

  /** Takes all pieces off a stock. */
  free(b: number): void {
    for (const cut of this.cuts[b]!)
      for (const { kind, count } of cut) this.missing[kind] = this.missing[kind]! + count
    this.cuts[b] = this.cuts[b]!.map(() => [])
  }

  /** Puts pieces on a stretch that has none. */
  put(b: number, s: number, cut: StretchCut): void {
    for (const { kind, count } of cut) this.missing[kind] = this.missing[kind]! - count
    const cuts = this.cuts[b]!.slice()
    cuts[s] = cut
    this.cuts[b] = cuts
  }
}
