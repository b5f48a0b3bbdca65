import type { Random } from '../random.ts'
import type { StockLayout } from './stock-layout.ts'
import type { StretchFiller } from './stretch-filler.ts'

const NOT_FULL = 0.06

/**
 * Large-neighbourhood search (Shaw 1998) over stocks: a few are emptied, a few unused ones are offered beside them, and all that is
 * missing is filled in again in another order. What is no dearer stays.
 */
export class StockSearch {
  layout: StockLayout
  best: StockLayout
  readonly #filler: StretchFiller
  readonly #random: Random
  /** More is wanted than there is. */
  readonly short: boolean
  /** Cost of a stock used up, for a unit of its length. */
  readonly #rate: Float64Array
  readonly #length: Float64Array
  /** Where set, no stock is opened that it does not allow. */
  #openable: readonly boolean[] | null = null
  /** Turns taken: the measure of work. */
  turns = 0

  constructor(layout: StockLayout, filler: StretchFiller, cell: number, random: Random) {
    this.layout = layout
    this.best = layout.copy()
    this.#filler = filler
    this.#random = random
    const { stocks } = layout.problem
    const supply = stocks.reduce((sum, stock) => sum + stock.stretches.reduce((x, y) => x + y, 0), 0)
    this.#length = Float64Array.from(stocks, (stock) => stock.stretches.reduce((x, y) => x + y, 0))
    this.#rate = Float64Array.from(stocks, (stock, b) => {
      const length = this.#length[b]!
      return (stock.openCost + stock.stretches.reduce((x, y) => x + stock.rest.cost(y % cell), 0)) / length
    })
    this.short = layout.kinds.reduce((sum, kind) => sum + kind.length * kind.demand, 0) > supply
  }

  /** Fills stocks, the cheapest by length first, for as long as anything is missing. */
  fill(): void {
    const { layout } = this
    const order = Array.from(this.#rate.keys()).sort((a, b) => this.#rate[a]! - this.#rate[b]!)
    this.#filler.shuffle(this.short)
    for (const b of order) {
      const { stretches } = layout.problem.stocks[b]!
      for (let s = 0; s < stretches.length; s++) {
        if (layout.cuts[b]![s]!.length > 0) continue
        const cut = this.#filler.run(stretches[s]!, layout.missing)
        if (cut) layout.put(b, s, cut)
      }
    }
    layout.recount()
    this.#keep()
  }

  /**
   * Turns that start hot and end cold (simulated annealing over neighbourhoods): a worse layout may stay while it is hot.
   * `scale` is a usual cost of one decision.
   */
  anneal(turns: number, scale: number, done: () => boolean): void {
    this.layout = this.best.copy()
    this.#cool(turns, scale, done)
  }

  /**
   * Fills what is missing again, starting from the stocks named and those with most left on them, and from more of them for as long as
   * more is missing than `missingCost`.
   */
  mend(stocks: readonly number[], turns: number, missingCost: number): void {
    const { layout } = this
    const rest = layout.problem.stocks.map((stock, b) =>
      stock.stretches.reduce((sum, length, s) => sum + length - layout.taken(b, s), 0),
    )
    const roomy = Array.from(rest.keys()).sort((a, b) => rest[b]! - rest[a]!)
    const used = roomy.filter((b) => layout.opened(b) && !stocks.includes(b))
    const unused = roomy.filter((b) => !layout.opened(b) && !stocks.includes(b))
    this.best = layout.copy()
    for (let k = 0; k < turns; k++) {
      const wide = 2 + Math.floor(k / 10)
      this.#refill([...stocks, ...used.slice(0, wide), ...this.#likely(unused.slice(), wide, 1)], 0)
    }
    for (let k = 0; k < 20 * turns && this.layout.missingCost() > missingCost; k++) this.turn(0)
  }

  /**
   * Closes and opens stocks as told, fills in what is missing then, and takes turns in which no other stock is opened, from hot to cold.
   * What is cheaper becomes the best. True when all is served at the end.
   */
  openOnly(opened: readonly boolean[], turns: number, scale: number): boolean {
    const layout = this.best.copy()
    opened.forEach((open, b) => {
      if (!open) layout.free(b)
    })
    layout.recount()
    this.layout = layout
    this.#openable = opened
    this.#refill(
      opened.flatMap((open, b) => (open && !layout.opened(b) ? [b] : [])),
      Number.POSITIVE_INFINITY,
    )
    this.#cool(turns, scale, () => false)
    this.#openable = null
    return layout.missingCost() === 0
  }

  #cool(turns: number, scale: number, done: () => boolean): void {
    for (let k = 0; k < turns && !done(); k++) this.turn(scale * 0.3 * 0.003 ** (k / turns))
  }

  /** One turn. `heat` is the cost by which a change may be worse and still stay. */
  turn(heat: number): void {
    const { layout } = this
    const used: number[] = []
    const unused: number[] = []
    layout.cuts.forEach((_, b) => {
      if (layout.opened(b)) used.push(b)
      else if (this.#openable?.[b] ?? true) unused.push(b)
    })
    const chosen = [
      ...this.#likely(used, 1 + Math.floor(this.#random() ** 2 * 7), -1),
      ...this.#likely(unused, Math.floor(this.#random() ** 2 * 5), 1),
    ]
    this.#refill(chosen, heat)
  }

  /** Empties these stocks and fills them again in a random order; undone if that is dearer than the heat allows. */
  #refill(chosen: readonly number[], heat: number): void {
    this.turns++
    const { layout } = this
    const before = chosen.map((b) => layout.cuts[b]!)
    const missing = layout.missing.slice()
    const cost = layout.cost
    let change = -layout.missingCost()
    for (const b of chosen) {
      change -= layout.stockCost[b]!
      layout.free(b)
    }
    this.#filler.shuffle(this.short)
    for (const [b, s] of this.#places(chosen)) {
      const length = layout.problem.stocks[b]!.stretches[s]!
      // now and then a stretch is not filled to the end, for more can be left than is lost
      const room = this.#random() < NOT_FULL ? Math.floor(this.#random() * length) : length
      const cut = this.#filler.run(room, layout.missing)
      if (cut) layout.put(b, s, cut)
    }
    change += layout.missingCost()
    const fresh = chosen.map((b) => layout.costOf(b, layout.cuts[b]!))
    for (const x of fresh) change += x
    if (change > heat * -Math.log(1 - this.#random())) {
      chosen.forEach((b, k) => {
        layout.cuts[b] = before[k]!
      })
      layout.missing.set(missing)
      return
    }
    chosen.forEach((b, k) => {
      layout.stockCost[b] = fresh[k]!
    })
    layout.cost = cost + change
    if (layout.cost < this.best.cost) this.#keep()
  }

  #keep(): void {
    if (this.best.cost === 0 || this.layout.cost < this.best.cost) this.best = this.layout.copy()
  }

  #some(from: number[], count: number): number[] {
    const some: number[] = []
    for (let k = 0; k < count && from.length > 0; k++) {
      const at = Math.floor(this.#random() * from.length)
      some.push(from[at]!)
      from[at] = from[from.length - 1]!
      from.pop()
    }
    return some
  }

  /** What a stock costs now for a unit of its length; an unused one what it would if it were used up. */
  #rateNow(b: number): number {
    const { stockCost } = this.layout
    return stockCost[b]! > 0 ? stockCost[b]! / this.#length[b]! : this.#rate[b]!
  }

  /** Like `#some`, but of two drawn the one that is cheaper by length (or dearer, for −1). */
  #likely(from: number[], count: number, cheap: 1 | -1): number[] {
    const likely: number[] = []
    for (let k = 0; k < count && from.length > 0; k++) {
      let at = Math.floor(this.#random() * from.length)
      const other = Math.floor(this.#random() * from.length)
      if (cheap * (this.#rateNow(from[other]!) - this.#rateNow(from[at]!)) < 0) at = other
      likely.push(from[at]!)
      from[at] = from[from.length - 1]!
      from.pop()
    }
    return likely
  }

  /** The stretches of these stocks in a random order, stock by stock. */
  #places(stocks: readonly number[]): [number, number][] {
    const order = this.#some(stocks.slice(), stocks.length)
    return order.flatMap((b) => {
      const { stretches } = this.layout.problem.stocks[b]!
      const places = this.#some(
        stretches.map((_, s) => s),
        stretches.length,
      )
      return places.map((s): [number, number] => [b, s])
    })
  }
}
