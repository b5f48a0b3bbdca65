import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgram, LinearProgramEngine } from './linear-program.ts'
import type { Pattern } from './pattern.ts'
import { type PlaceSet, placeSets } from './place-set.ts'
import type { Effort, RelaxedFilling, RelaxedPricer } from './relaxed-pricing.ts'
import { ANY_REST, type RestRange } from './rest-worth.ts'
import { mostOfLot } from './service-bound.ts'

/** What the rows of the master program are worth, whole micro-euro; none is negative. */
export interface Duals {
  /** By item, a piece. */
  items: Float64Array
  /** By `item:lot` of a lot group: what a piece loses where the group would have to be bound to that lot. */
  lots: Map<string, number>
  /** By `drum:line`: share of a line's fixed cost that a drum on it bears. */
  lines: Map<string, number>
  /** What a micro-euro more left unserved would save. */
  service: number
}

/** A way to cut a drum, as a column of the program. */
interface Column {
  column: number
  drum: number
  /** What stays on the drum. */
  restUm: LengthUm
  /** Whether something is wound off. */
  woundOff: boolean
  pattern: Pattern | null
}

/** What branching asks of one drum. */
export interface DrumBranch {
  mounted: boolean | null
  /** Whether something is wound off it. */
  woundOff: boolean | null
  range: RestRange
}

export const FREE_DRUM: DrumBranch = { mounted: null, woundOff: null, range: ANY_REST }

export interface Priced {
  drum: number
  set: PlaceSet
  filling: RelaxedFilling
  prices: Float64Array
}

const MICRO = 1e6
const NEVER_EUR = 20_000
/** A plan that leaves up to this more unserved serves as much: half a cent. */
const AS_MUCH_MICRO = 5_000

/**
 * The master program of one cable type: at most one pattern a drum, all demand covered but for what may stay unserved.
 * In euro, since a linear-programming library works best near one. Rows are coverings: a piece given twice can always be
 * dropped for no more cost.
 */
export class Master {
  readonly instance: TypeInstance
  readonly lp: LinearProgram
  readonly columns: Column[] = []
  readonly #itemRows: number[]
  readonly #drumRows: number[]
  readonly #lineRows = new Map<string, number>()
  readonly #lotRows = new Map<string, number>()
  readonly #serviceRow: number
  readonly #lotColumns: number[] = []
  /** Most that a lot can give of an item, by `item:lot`. */
  readonly #lotMost = new Map<string, number>()

  /** `weight`: what a euro unserved counts in the cost; 0 for the bound, where a row limits service and parts may be short. */
  constructor(instance: TypeInstance, engine: LinearProgramEngine, weight: number) {
    this.instance = instance
    const lp = engine.create()
    this.lp = lp
    this.#itemRows = instance.items.map((i) =>
      lp.addRow(weight === 0 ? i.demand * i.leastShare : i.demand, Number.POSITIVE_INFINITY),
    )
    this.#drumRows = instance.drums.map(() => lp.addRow(Number.NEGATIVE_INFINITY, 1))
    this.#serviceRow = lp.addRow(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)
    this.#addLines()
    this.#addLots()
    // so that the program always has a solution: at this price nothing real would ever be bought
    for (const row of [...this.#itemRows, ...this.#drumRows])
      lp.addColumn(NEVER_EUR, 0, Number.POSITIVE_INFINITY, [row], [1])
    for (const item of instance.items)
      for (const tier of item.tiers)
        lp.addColumn(
          (item.creditMicro + weight * tier.weightMicro) / MICRO,
          0,
          tier.pieces,
          [this.#itemRows[item.index]!, this.#serviceRow],
          [1, tier.weightMicro / MICRO],
        )
  }

  /** No more may stay unserved than this. */
  setService(unservedMicro: MicroEur): void {
    this.lp.setRowBounds(this.#serviceRow, Number.NEGATIVE_INFINITY, (unservedMicro + AS_MUCH_MICRO) / MICRO)
  }

  /** A pattern of the plan. */
  addPattern(pattern: Pattern): void {
    const { id } = this.instance.drums[pattern.drum]!.places[pattern.place]!
    this.#add(
      pattern.drum,
      [id],
      pattern.amounts,
      pattern.costMicro,
      pattern.restUm,
      pattern.woundOff,
      pattern,
    )
  }

  /** A filling of the relaxation. */
  addFilling(drum: number, set: PlaceSet, filling: RelaxedFilling, prices: Float64Array): void {
    let worth = 0
    for (const [item, amount] of filling.amounts) worth += amount * prices[item]!
    const places = set.places.map((p) => p.id)
    this.#add(
      drum,
      places,
      filling.amounts,
      worth - filling.profitMicro,
      filling.restUm,
      filling.woundOff,
      null,
    )
  }

  #add(
    drum: number,
    places: string[],
    amounts: Map<number, number>,
    costMicro: number,
    restUm: LengthUm,
    woundOff: boolean,
    pattern: Pattern | null,
  ): void {
    const rows = [this.#drumRows[drum]!]
    const values = [1]
    const { lot } = this.instance.drums[drum]!.usable.drum
    for (const [item, amount] of amounts) {
      rows.push(this.#itemRows[item]!)
      values.push(amount)
      const lotRow = this.#lotRows.get(`${item}:${lot}`)
      if (lotRow !== undefined) {
        rows.push(lotRow)
        values.push(-amount)
      }
    }
    for (const place of places) {
      const lineRow = this.#lineRows.get(`${drum}:${place}`)
      if (lineRow === undefined) continue
      rows.push(lineRow)
      values.push(-1)
    }
    this.columns.push({
      column: this.lp.addColumn(costMicro / MICRO, 0, 1, rows, values),
      drum,
      restUm,
      woundOff,
      pattern,
    })
  }

  solve(): { objectiveMicro: number; duals: Duals; values: Float64Array } | null {
    const solved = this.lp.solve()
    if (!solved) return null
    const micro = (row: number) => Math.max(0, Math.round(solved.duals[row]! * MICRO))
    return {
      objectiveMicro: solved.objective * MICRO,
      values: Float64Array.from(this.columns, (c) => solved.values[c.column]!),
      duals: {
        items: Float64Array.from(this.#itemRows, micro),
        lots: new Map([...this.#lotRows].map(([key, row]) => [key, micro(row)])),
        lines: new Map([...this.#lineRows].map(([key, row]) => [key, micro(row)])),
        // the service row is an upper limit: its dual is negative, its price its size
        service: Math.max(0, -solved.duals[this.#serviceRow]!),
      },
    }
  }

  /** The best choice among the patterns known, whole; null when none was found in time. */
  solveWhole(seconds: number): Pattern[] | null {
    const solved = this.lp.solveWhole([...this.columns.map((c) => c.column), ...this.#lotColumns], seconds)
    if (!solved) return null
    return this.columns.flatMap((c) => (c.pattern && solved.values[c.column]! > 0.5 ? [c.pattern] : []))
  }

  /** Price of a piece of each item on a drum. */
  pricesFor(drum: number, duals: Duals): Float64Array {
    const { lot } = this.instance.drums[drum]!.usable.drum
    const prices = Float64Array.from(duals.items)
    for (const item of this.instance.items)
      if (item.group !== null)
        prices[item.index] = Math.max(0, prices[item.index]! - (duals.lots.get(`${item.index}:${lot}`) ?? 0))
    return prices
  }

  /** What a drum bears of the fixed cost of the lines of a place set. */
  #lineShare(drum: number, set: PlaceSet, duals: Duals): number {
    return set.places.reduce((sum, p) => sum + (duals.lines.get(`${drum}:${p.id}`) ?? 0), 0)
  }

  /** Lets in only what the branching allows. */
  branch(drums: DrumBranch[]): void {
    for (const [d, row] of this.#drumRows.entries()) {
      const { mounted } = drums[d]!
      this.lp.setRowBounds(row, mounted === true ? 1 : Number.NEGATIVE_INFINITY, mounted === false ? 0 : 1)
    }
    for (const { column, drum, restUm, woundOff } of this.columns) {
      const branch = drums[drum]!
      const inRange = restUm >= branch.range.leastUm && restUm <= branch.range.mostUm
      const allowed = inRange && (branch.woundOff === null || branch.woundOff === woundOff)
      this.lp.setColumnBounds(column, 0, allowed ? 1 : 0)
    }
  }

  /**
   * Proven lower bound on the cost at this service, from any prices: what they pay less the most that each drum could earn.
   * Also the fillings that would earn it, to better the prices with. null where time ran out on the way.
   */
  bound(
    pricer: RelaxedPricer,
    duals: Duals,
    unservedMicro: MicroEur,
    effort: Effort,
    drums: DrumBranch[],
    late: () => boolean,
  ): { boundMicro: MicroEur; priced: Priced[] } | null {
    const { instance } = this
    let bound = this.#paid(duals, unservedMicro)
    const demand = Float64Array.from(instance.items, (i) => i.demand)
    const priced: Priced[] = []
    for (const [drum, model] of instance.drums.entries()) {
      const branch = drums[drum]!
      const { mounted } = branch
      if (mounted === false) continue
      if (late()) return null
      const prices = this.pricesFor(drum, duals)
      let most = mounted === true ? Number.NEGATIVE_INFINITY : 0
      for (const set of placeSets(model)) {
        const share = this.#lineShare(drum, set, duals)
        const filling = pricer.most(model, set, prices, demand, effort, most + share, branch)
        const profit = filling.profitMicro - share
        if (profit <= most) continue
        most = profit
        priced.push({ drum, set, filling, prices })
      }
      bound -= most
    }
    return { boundMicro: Math.floor(bound), priced }
  }

  /** What prices pay for all that is wanted, less what may stay unserved, lines and lots could earn of it. */
  #paid(duals: Duals, unservedMicro: MicroEur): number {
    const { instance } = this
    let paid = -Math.ceil(duals.service * (unservedMicro + AS_MUCH_MICRO + 1))
    for (const item of instance.items) {
      const price = duals.items[item.index]!
      paid += Math.floor(price * item.demand * item.leastShare)
      for (const tier of item.tiers)
        paid +=
          Math.min(0, item.creditMicro + Math.floor(duals.service * tier.weightMicro) - price) * tier.pieces
    }
    for (const [line, fixed] of instance.lineFixed) {
      let borne = 0
      for (const drum of instance.drums.keys()) borne += duals.lines.get(`${drum}:${line}`) ?? 0
      paid += Math.min(0, fixed - borne)
    }
    return paid - this.#lotProfit(duals)
  }

  dispose(): void {
    this.lp.dispose()
  }

  /** A line costs its change of cable once, whatever runs on it. */
  #addLines(): void {
    for (const [line, fixedMicro] of this.instance.lineFixed) {
      const rows: number[] = []
      for (const [d, model] of this.instance.drums.entries())
        if (model.places.some((p) => p.id === line)) {
          const row = this.lp.addRow(0, Number.POSITIVE_INFINITY)
          this.#lineRows.set(`${d}:${line}`, row)
          rows.push(row)
        }
      this.lp.addColumn(
        fixedMicro / MICRO,
        0,
        1,
        rows,
        rows.map(() => 1),
      )
    }
  }

  /** A lot group is bound to one lot: what it takes from a lot is at most what that lot can give, times its being chosen. */
  #addLots(): void {
    const { items, drums } = this.instance
    for (const group of new Set(items.map((i) => i.group))) {
      if (group === null) continue
      const choice = this.lp.addRow(Number.NEGATIVE_INFINITY, 1)
      for (const lot of new Set(drums.map((d) => d.usable.drum.lot))) {
        const rows: number[] = []
        const most: number[] = []
        for (const item of items) {
          if (item.group !== group) continue
          const row = this.lp.addRow(0, Number.POSITIVE_INFINITY)
          this.#lotRows.set(`${item.index}:${lot}`, row)
          this.#lotMost.set(`${item.index}:${lot}`, mostOfLot(this.instance, item, lot))
          rows.push(row)
          most.push(mostOfLot(this.instance, item, lot))
        }
        this.#lotColumns.push(this.lp.addColumn(0, 0, 1, [choice, ...rows], [1, ...most]))
      }
    }
  }

  /** Most that choosing lots could earn at these prices. */
  #lotProfit(duals: Duals): number {
    const byGroup = new Map<string, Map<string, number>>()
    for (const [key, price] of duals.lots) {
      const split = key.indexOf(':')
      const index = Number(key.slice(0, split))
      const lot = key.slice(split + 1)
      const group = this.instance.items[index]!.group!
      const lots = byGroup.get(group) ?? new Map<string, number>()
      byGroup.set(group, lots)
      lots.set(lot, (lots.get(lot) ?? 0) + price * this.#lotMost.get(key)!)
    }
    let profit = 0
    for (const lots of byGroup.values()) profit += Math.max(0, ...lots.values())
    return Math.ceil(profit)
  }
}

/** Prices between two sets of prices: `share` of the first; whole micro-euro. */
export function mixed(a: Duals, b: Duals, share: number): Duals {
  const mix = (x: number, y: number) => Math.round(share * x + (1 - share) * y)
  const mixMap = (x: Map<string, number>, y: Map<string, number>) =>
    new Map([...x].map(([key, value]) => [key, mix(value, y.get(key) ?? 0)]))
  return {
    items: a.items.map((value, i) => mix(value, b.items[i]!)),
    lots: mixMap(a.lots, b.lots),
    lines: mixMap(a.lines, b.lines),
    service: share * a.service + (1 - share) * b.service,
  }
}
