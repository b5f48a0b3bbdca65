import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel, Fillable } from './drum-model.ts'
import { bulkCutUm, declaredOfCutUm, type Item } from './item.ts'
import { ANY_REST, type PlaceSet, type RestRange, RestWorth, setTakes } from './rest-worth.ts'
import { type Offered, StretchFill, type Taken } from './stretch-fill.ts'

/** Put-up choices that are looked into for one drum before its bound is taken as it stands. */
const MOST_NODES = 16
/** Tables of rests kept for one drum. */
const MOST_WORTHS = 12

/** A filling of a drum that no rule but the relaxed ones holds together: what it would take and earn. */
export interface RelaxedFilling {
  profitMicro: number
  /** By item. */
  amounts: Map<number, number>
  /** What stays on the drum. */
  restUm: LengthUm
}

interface Node {
  /** Put-ups that are paid for and then free; the others cost a change where they are used. */
  paid: Set<number>
  barred: Set<number>
}

interface NodeBound extends RelaxedFilling {
  /** A put-up that was used without being paid in full; null where there is none. */
  openGroup: number | null
}

/**
 * An upper bound on what any pattern of a drum can earn at given prices. Two relaxations are made for each stretch where the
 * drum could be stopped, and the lower counts. Apart: each stretch is filled by itself, may use the full demand, and a change
 * of put-up is shared out among stretches by length. Joined: what lies outside the stop is one stretch, so that demand and
 * changes count once, but pieces may lie across faults. Which put-ups are used is then decided by branching. In both a fault
 * that some lines allow hinders none, and every rounding goes up: no pattern earns more, so the bound built on it is proven.
 */
export class RelaxedPricer {
  readonly #catalog: Catalog
  readonly #items: Item[]
  readonly #fill = new StretchFill()
  readonly #joinedFill = new StretchFill()
  readonly #worths = new Map<DrumModel, Map<string, RestWorth>>()
  work = 0

  constructor(catalog: Catalog, items: Item[]) {
    this.#catalog = catalog
    this.#items = items
  }

  /** `floor`: what is not above it need not be found out exactly. */
  most(
    model: DrumModel,
    set: PlaceSet,
    prices: Float64Array,
    caps: Float64Array,
    cells: number,
    floor: number,
    range: RestRange = ANY_REST,
  ): RelaxedFilling {
    const worth = this.#worthOf(model, set, range)
    const offered = model.relaxed.map((s) => this.#offered(set, [s], prices, caps))
    const joined = this.#offered(set, model.relaxed, prices, caps)
    const bound = (node: Node) => this.#bound(model, set, worth, offered, joined, node, cells)
    const open = [
      {
        node: { paid: new Set<number>(), barred: new Set<number>() },
        ...bound({ paid: new Set(), barred: new Set() }),
      },
    ]
    for (let n = 1; n < MOST_NODES; n += 2) {
      open.sort((a, b) => b.profitMicro - a.profitMicro)
      const top = open[0]!
      if (top.openGroup === null || top.profitMicro <= floor) break
      open.shift()
      for (const use of [true, false]) {
        const node = { paid: new Set(top.node.paid), barred: new Set(top.node.barred) }
        ;(use ? node.paid : node.barred).add(top.openGroup)
        const found = bound(node)
        // a part of a choice can earn no more than the whole of it
        open.push({ node, ...found, profitMicro: Math.min(found.profitMicro, top.profitMicro) })
      }
    }
    return open.reduce((a, b) => (b.profitMicro > a.profitMicro ? b : a))
  }

  #bound(
    model: DrumModel,
    set: PlaceSet,
    worth: RestWorth,
    offered: Offered[][],
    joined: Offered[],
    node: Node,
    cells: number,
  ): NodeBound {
    const { relaxed } = model
    const within = (list: Offered[]) =>
      node.barred.size === 0 ? list : list.filter((o) => !node.barred.has(o.group))
    const lengths = relaxed.map((s) => s.toUm - s.fromUm)
    const totalUm = lengths.reduce((a, b) => a + b, 0)
    const paidMicro = node.paid.size * set.changeMicro
    const single = relaxed.length === 1
    const cellUm = cellFor(Math.max(...lengths), cells)
    const joinedCellUm = cellFor(totalUm, cells)
    if (!single) {
      this.#joinedFill.run(
        totalUm,
        joinedCellUm,
        within(joined),
        (g) => (node.paid.has(g) ? 0 : set.changeMicro),
        true,
      )
      this.work++
    }
    let best: NodeBound = {
      profitMicro: Number.NEGATIVE_INFINITY,
      amounts: new Map(),
      restUm: 0,
      openGroup: null,
    }
    let passedMicro = 0
    let passedTaken: Taken[] = []
    for (const [k, lengthUm] of lengths.entries()) {
      const share = lengthUm / totalUm
      this.#fill.run(
        lengthUm,
        cellUm,
        within(offered[k]!),
        (g) => (node.paid.has(g) ? 0 : set.changeMicro * share),
        true,
      )
      this.work++
      passedMicro += worth.gapBeforeMicro(k)
      const stop = this.#bestOf(this.#fill, worth.stops(k, cellUm, this.#fill.cells))
      let profit = passedMicro + stop.worth
      let taken = [...passedTaken, ...this.#fill.taken(stop.at)]
      let restUm = worth.keptUm(k, lengthUm - stop.at * cellUm, cellUm)
      const openGroup = single ? null : openGroupOf(taken, node.paid)
      if (!single) {
        const outer = worth.outerUm(k)
        const whole = this.#bestOf(this.#joinedFill, worth.joined(k, joinedCellUm))
        const joinedProfit = whole.worth + worth.gapsUpToMicro(k)
        if (joinedProfit < profit) {
          profit = joinedProfit
          taken = this.#joinedFill.taken(whole.at)
          restUm = worth.keptUm(k, Math.min(lengthUm, outer - whole.at * joinedCellUm), cellUm)
        }
      }
      if (profit > best.profitMicro)
        best = { profitMicro: profit, amounts: this.#amounts(taken), restUm, openGroup }
      const pass = this.#bestOf(this.#fill, worth.passes(k, cellUm, this.#fill.cells))
      passedMicro += pass.worth
      passedTaken = [...passedTaken, ...this.#fill.taken(pass.at)]
    }
    // a micro-euro a stretch covers the rounding of the sums, which stay below 2^53
    return {
      ...best,
      profitMicro: Math.ceil(best.profitMicro - paidMicro + worth.fixedMicro) + 2 * relaxed.length + 2,
    }
  }

  /**
   * Best of all fillings: entries grow with x, so for any filling there is an x whose rest is the filling's or up to one cell
   * more. `rests[x]` is the most that such a rest is worth.
   */
  #bestOf(fill: StretchFill, rests: Float64Array): { worth: number; at: number } {
    const { best } = fill
    let top = Number.NEGATIVE_INFINITY
    let at = 0
    for (let x = 0; x < rests.length; x++) {
      const value = best[x]! + rests[x]!
      if (value > top) {
        top = value
        at = x
      }
    }
    return { worth: top, at }
  }

  /** What rests are worth does not depend on prices, so it is reckoned once for each drum, places and range. */
  #worthOf(model: DrumModel, set: PlaceSet, range: RestRange): RestWorth {
    const known = this.#worths.get(model) ?? new Map<string, RestWorth>()
    if (known.size > MOST_WORTHS) known.clear()
    this.#worths.set(model, known)
    const key = `${set.places.map((p) => p.id).join('+')}:${range.leastUm}:${range.mostUm}`
    const worth = known.get(key) ?? new RestWorth(this.#catalog, model, set, range)
    known.set(key, worth)
    return worth
  }

  #amounts(taken: Taken[]): Map<number, number> {
    const amounts = new Map<number, number>()
    const { lengthGuardRatio, pieceTrimUm } = this.#catalog.input.site.cutRules
    for (const t of taken) {
      const item = this.#items[t.item]!
      const each = item.split ? declaredOfCutUm(t.cutUm, lengthGuardRatio, pieceTrimUm) / item.declaredUm : 1
      amounts.set(t.item, (amounts.get(t.item) ?? 0) + each * t.count)
    }
    return amounts
  }

  /** What may lie in these stretches, no copy more than lies in them one by one. */
  #offered(set: PlaceSet, stretches: Fillable[], prices: Float64Array, caps: Float64Array): Offered[] {
    const { lengthGuardRatio, pieceTrimUm } = this.#catalog.input.site.cutRules
    const offered: Offered[] = []
    for (const item of this.#items) {
      const price = prices[item.index]!
      if (caps[item.index]! <= 1e-9 || price <= 0) continue
      const open = stretches.filter((s) => s.allowed[item.index])
      const lengthUm = open.reduce((longest, s) => Math.max(longest, s.toUm - s.fromUm), 0)
      const leastUm = item.split?.minUm ?? item.shortest?.cutUm ?? item.cutUm
      const copies = open.reduce((sum, s) => sum + Math.floor((s.toUm - s.fromUm) / leastUm), 0)
      const cap = Math.min(caps[item.index]!, copies)
      if (cap <= 0) continue
      for (const [option, { putup, group, costMicro, mostDeclaredUm }] of item.options.entries()) {
        if (price <= costMicro || !setTakes(set, item, putup)) continue
        const base = { item: item.index, option, group }
        const mostCutUm = Math.min(
          lengthUm,
          bulkCutUm(Math.min(item.declaredUm, mostDeclaredUm), lengthGuardRatio, pieceTrimUm),
        )
        if (item.split) {
          // the parts of one piece within these stretches may as well be one part, were there a put-up for it
          const perUm = price / item.declaredUm / (1 + lengthGuardRatio)
          const openUm = open.reduce((sum, s) => sum + s.toUm - s.fromUm, 0)
          const leastCutUm = bulkCutUm(item.split.minUm, lengthGuardRatio, pieceTrimUm) - 1
          const wholeCutUm = Math.min(openUm, item.cutUm)
          if (leastCutUm > wholeCutUm) continue
          // rounding of declared lengths may make the share of a whole piece exceed one by a hair
          const profit = Math.ceil((wholeCutUm - pieceTrimUm) * perUm - costMicro) + 1
          offered.push({
            ...base,
            cap: 1,
            cutUm: wholeCutUm,
            profit,
            shrink: { leastCutUm, lossPerUm: perUm },
          })
        } else if (item.shortest) {
          const leastCutUm = item.shortest.cutUm - 1
          if (leastCutUm > lengthUm) continue
          // what a shorter piece forgoes is rounded down
          const lossPerUm =
            Math.max(0, item.creditMicro - 1) / item.declaredUm / (1 + lengthGuardRatio) / (1 + 1e-9)
          const profit = Math.ceil(price - costMicro - (item.cutUm - mostCutUm) * lossPerUm) + 1
          offered.push({ ...base, cap, cutUm: mostCutUm, profit, shrink: { leastCutUm, lossPerUm } })
        } else if (item.cutUm <= lengthUm && mostDeclaredUm >= item.declaredUm) {
          offered.push({
            ...base,
            cap,
            cutUm: item.cutUm,
            profit: Math.ceil(price - costMicro),
            shrink: null,
          })
        }
      }
    }
    return offered.sort((a, b) => a.group - b.group || b.cutUm - a.cutUm)
  }
}

function cellFor(lengthUm: LengthUm, cells: number): number {
  return Math.max(1, Math.ceil(lengthUm / cells))
}

/** The put-up that lies in most pieces without being paid for. */
function openGroupOf(taken: Taken[], paid: Set<number>): number | null {
  const lengths = new Map<number, number>()
  for (const t of taken)
    if (!paid.has(t.group)) lengths.set(t.group, (lengths.get(t.group) ?? 0) + t.count * t.cutUm)
  let most = 0
  let group: number | null = null
  for (const [g, length] of lengths)
    if (length > most) {
      most = length
      group = g
    }
  return group
}
