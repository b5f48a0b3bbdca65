import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import { type Branching, countKey, type DrumBranch } from './branching.ts'
import { type Counted, CountRows, countPrice, paidForCounts } from './count-rows.ts'
import type { Duals } from './duals.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgram, LinearProgramEngine } from './linear-program.ts'
import { LotRows, lotBarred } from './lot-rows.ts'
import type { Pattern } from './pattern.ts'
import { type PlaceSet, placeSets } from './place-set.ts'
import type { DrumTerms, Effort, RelaxedFilling, RelaxedPricer } from './relaxed-pricing.ts'

/** A way to cut a drum, as a column of the program. */
export interface Column extends Counted {
  /** Put-ups that it pays for, by number. */
  putups: ReadonlySet<number>
  /** What stays on the drum. */
  restUm: LengthUm
  /** Clean length that is in no piece. */
  unusedUm: LengthUm
  /** Whether something is wound off. */
  woundOff: boolean
  /** Number of the effort that found it; of a pattern of the plan the finest. */
  level: number
}

export interface Priced {
  drum: number
  set: PlaceSet
  filling: RelaxedFilling
  terms: DrumTerms
}

const MICRO = 1e6
const NEVER_EUR = 20_000
/** A plan that leaves up to this more unserved serves as much: half a cent. */
export const AS_MUCH_MICRO = 5_000

/** Whether a way to cut a drum is one that branching lets in. */
function allowed({ restUm, unusedUm, woundOff, putups }: Column, branch: DrumBranch): boolean {
  const { leastUm, mostUm, spareUm } = branch.range
  if (restUm < leastUm || restUm > mostUm || unusedUm > spareUm) return false
  if (branch.woundOff !== null && branch.woundOff !== woundOff) return false
  for (const [putup, used] of branch.putups) if (putups.has(putup) !== used) return false
  return true
}

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
  readonly #serviceRow: number
  readonly #lotRows: LotRows
  readonly #countRows: CountRows
  /** By drum. */
  readonly #sets: PlaceSet[][]

  constructor(instance: TypeInstance, engine: LinearProgramEngine) {
    this.instance = instance
    this.#sets = instance.drums.map(placeSets)
    const lp = engine.create()
    this.lp = lp
    this.#itemRows = instance.items.map((i) => lp.addRow(i.demand * i.leastShare, Number.POSITIVE_INFINITY))
    this.#drumRows = instance.drums.map(() => lp.addRow(Number.NEGATIVE_INFINITY, 1))
    this.#serviceRow = lp.addRow(Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY)
    this.#addLines()
    this.#lotRows = new LotRows(lp, instance)
    this.#countRows = new CountRows(lp, NEVER_EUR)
    // so that the program always has a solution: at this price nothing real would ever be bought
    for (const row of [...this.#itemRows, ...this.#drumRows])
      lp.addColumn(NEVER_EUR, 0, Number.POSITIVE_INFINITY, [row], [1])
    for (const item of instance.items)
      for (const tier of item.tiers)
        lp.addColumn(
          item.creditMicro / MICRO,
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
    const putups = new Set(pattern.taken.flatMap((stretch) => stretch.map((t) => t.group)))
    const column = { ...pattern, putups, unusedUm: this.#unusedUm(pattern) }
    this.#add([id], pattern.costMicro, { ...column, level: Number.POSITIVE_INFINITY })
  }

  /** A filling of the relaxation. */
  addFilling({ drum, set, filling, terms }: Priced, level: number): void {
    let worth = 0
    for (const [item, amount] of filling.amounts) worth += amount * terms.prices[item]!
    const places = set.places.map((p) => p.id)
    this.#add(places, worth - filling.profitMicro, { drum, ...filling, level })
  }

  #add(
    places: string[],
    costMicro: number,
    { drum, amounts, putups, restUm, unusedUm, woundOff, level }: Omit<Column, 'column'>,
  ): void {
    const rows = [this.#drumRows[drum]!]
    const values = [1]
    const { lot } = this.instance.drums[drum]!.usable.drum
    for (const [item, amount] of amounts) {
      rows.push(this.#itemRows[item]!)
      values.push(amount)
      this.#lotRows.enter(item, lot, amount, rows, values)
    }
    for (const place of places) {
      const lineRow = this.#lineRows.get(`${drum}:${place}`)
      if (lineRow === undefined) continue
      rows.push(lineRow)
      values.push(-1)
    }
    this.#countRows.enter({ drum, amounts }, rows, values)
    const column = this.lp.addColumn(costMicro / MICRO, 0, 1, rows, values)
    this.columns.push({ column, drum, amounts, putups, restUm, unusedUm, woundOff, level })
  }

  /** A drum at a place, for a program that has no patterns; entries of further rows come with it. Returns its column. */
  addMounting(drum: number, place: string, costEur: number, entries: [number, number][]): number {
    const rows = [this.#drumRows[drum]!, ...entries.map(([row]) => row)]
    const values = [1, ...entries.map(([, value]) => value)]
    const lineRow = this.#lineRows.get(`${drum}:${place}`)
    if (lineRow !== undefined) {
      rows.push(lineRow)
      values.push(-1)
    }
    return this.lp.addColumn(costEur, 0, 1, rows, values)
  }

  /** Pieces of an item from a drum, each of which counts as `share` of one; likewise. */
  addAmount(
    drum: number,
    item: number,
    share: number,
    costEur: number,
    most: number,
    entries: [number, number][],
  ): number {
    const rows = [this.#itemRows[item]!, ...entries.map(([row]) => row)]
    const values = [share, ...entries.map(([, value]) => value)]
    this.#lotRows.enter(item, this.instance.drums[drum]!.usable.drum.lot, share, rows, values)
    return this.lp.addColumn(costEur, 0, most, rows, values)
  }

  #unusedUm({ drum, taken }: Pattern): LengthUm {
    const cleanUm = this.instance.drums[drum]!.usable.clean.reduce((sum, s) => sum + s.toUm - s.fromUm, 0)
    return taken.flat().reduce((left, t) => left - t.count * t.cutUm, cleanUm)
  }

  solve(): { objectiveMicro: number; duals: Duals; values: Float64Array; lots: Map<string, number> } | null {
    const solved = this.lp.solve()
    if (!solved) return null
    const micro = (row: number) => Math.max(0, Math.round(solved.duals[row]! * MICRO))
    return {
      objectiveMicro: solved.objective * MICRO,
      values: Float64Array.from(this.columns, (c) => solved.values[c.column]!),
      lots: this.#lotRows.shares(solved.values),
      duals: {
        items: Float64Array.from(this.#itemRows, micro),
        lots: this.#lotRows.duals(solved.duals),
        lines: new Map([...this.#lineRows].map(([key, row]) => [key, micro(row)])),
        counts: this.#countRows.duals(solved.duals),
        // the service row is an upper limit: its dual is negative, its price its size
        service: Math.max(0, -solved.duals[this.#serviceRow]!),
      },
    }
  }

  /** Price of a piece of each item on a drum; may be negative. */
  #pricesFor(drum: number, duals: Duals): Float64Array {
    const { lot } = this.instance.drums[drum]!.usable.drum
    const prices = Float64Array.from(duals.items)
    for (const item of this.instance.items)
      if (item.group !== null)
        prices[item.index] = prices[item.index]! - (duals.lots.get(`${item.index}:${lot}`) ?? 0)
    return prices
  }

  /** What a drum's pieces, put-ups and mounting are worth, and what branching lets it do. */
  #termsFor(drum: number, duals: Duals, { drums, counts, lots }: Branching): DrumTerms {
    const { instance } = this
    const price = (what: 'mounted' | 'item', number: number) =>
      countPrice(counts, duals.counts, drum, what, number)
    const prices = this.#pricesFor(drum, duals)
    const caps = Float64Array.from(instance.items, (i) => i.demand)
    const { lot } = instance.drums[drum]!.usable.drum
    for (const item of instance.items) {
      const { index } = item
      prices[index] = Math.max(0, prices[index]! + price('item', index))
      caps[index] = Math.min(
        caps[index]!,
        counts.get(countKey({ drum, what: 'item', number: index }))?.most ?? caps[index]!,
      )
      if (item.group !== null && lotBarred(lots, item.group, lot)) caps[index] = 0
    }
    const { range, woundOff, putups } = drums[drum]!
    return { prices, caps, mountedPrice: price('mounted', 0), range, woundOff, putups }
  }

  /** What a drum bears of the fixed cost of the lines of a place set. */
  #lineShare(drum: number, set: PlaceSet, duals: Duals): number {
    return set.places.reduce((sum, p) => sum + (duals.lines.get(`${drum}:${p.id}`) ?? 0), 0)
  }

  /** Lets in only what the branching allows, and no filling that a coarser effort took for possible. */
  branch({ drums, counts, lots }: Branching, level: number): void {
    for (const [d, row] of this.#drumRows.entries()) {
      const { mounted } = drums[d]!
      this.lp.setRowBounds(row, mounted === true ? 1 : Number.NEGATIVE_INFINITY, mounted === false ? 0 : 1)
    }
    for (const column of this.columns)
      this.lp.setColumnBounds(
        column.column,
        0,
        column.level >= level && allowed(column, drums[column.drum]!) ? 1 : 0,
      )
    this.#countRows.limit(counts, this.columns)
    this.#lotRows.branch(lots)
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
    branching: Branching,
    late: () => boolean,
  ): { boundMicro: MicroEur; priced: Priced[] } | null {
    const { instance } = this
    let bound = this.#paid(duals, unservedMicro, branching)
    const priced: Priced[] = []
    for (const [drum, model] of instance.drums.entries()) {
      const { mounted } = branching.drums[drum]!
      if (mounted === false) continue
      if (late()) return null
      const terms = this.#termsFor(drum, duals, branching)
      let most = mounted === true ? Number.NEGATIVE_INFINITY : 0
      const sets = this.#sets[drum]!
      let first = 0
      for (const [s, set] of sets.entries()) {
        const fixed = this.#lineShare(drum, set, duals) - terms.mountedPrice
        const filling = pricer.most(model, set, terms, effort, most + fixed)
        const profit = filling.profitMicro - fixed
        if (profit <= most) continue
        most = profit
        first = s
        priced.push({ drum, set, filling, terms })
      }
      // the next time the best comes first, so that of the others it need only be seen that they are not better
      if (first > 0) sets.unshift(...sets.splice(first, 1))
      bound -= most
    }
    return { boundMicro: Math.floor(bound), priced }
  }

  /** What prices pay for all that is wanted, less what may stay unserved, lines and lots could earn of it. */
  #paid(duals: Duals, unservedMicro: MicroEur, { counts, lots }: Branching): number {
    const { instance } = this
    let paid =
      paidForCounts(counts, duals.counts) - Math.ceil(duals.service * (unservedMicro + AS_MUCH_MICRO + 1))
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
    return paid - this.#lotRows.profit(duals, lots)
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
}
