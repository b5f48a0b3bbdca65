import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { Item } from './item.ts'
import type { PlaceSet } from './place-set.ts'
import { amountsOf, offeredApart, offeredJoined } from './relaxed-offers.ts'
import { type RestRange, RestWorth } from './rest-worth.ts'
import { type Offered, StretchFill, type Taken } from './stretch-fill.ts'

/** How fine the grid is and how many choices are looked into for one drum before its bound is taken as it stands. */
export interface Effort {
  cells: number
  nodes: number
}

/** Tables of rests kept for one drum. */
const MOST_WORTHS = 24

/** A filling of a drum that no rule but the relaxed ones holds together: what it would take and earn. */
export interface RelaxedFilling {
  profitMicro: number
  /** By item. */
  amounts: Map<number, number>
  /** What stays on the drum. */
  restUm: LengthUm
  /** Whether something is wound off. */
  woundOff: boolean
}

/** What is passed on the way inwards: its worth and, by stretch, what was taken from it. */
interface Passed {
  micro: number
  taken: Taken[][]
}

interface Node {
  /** Put-ups that are paid for and then free; the others cost a change where they are used. */
  paid: Set<number>
  barred: Set<number>
  /** Most copies of an item in one stretch, by `stretch:item`. */
  caps: Map<string, number>
}

interface NodeBound extends RelaxedFilling {
  /** Ways to split the choice further; empty where nothing is left to decide. */
  children: Node[]
}

/** One drum at given prices: what may lie where, and what rests are worth. */
interface Case {
  set: PlaceSet
  worth: RestWorth
  woundOff: boolean
  apart: Offered[][]
  joined: Offered[]
  /** Copies of an item that the whole drum may give. */
  demand: Float64Array
  cells: number
  nodes: number
}

const NOTHING: NodeBound = {
  profitMicro: Number.NEGATIVE_INFINITY,
  amounts: new Map(),
  restUm: 0,
  woundOff: false,
  children: [],
}

/**
 * An upper bound on what any pattern of a drum can earn at given prices. A drum is worked in one of two ways. Nothing wound
 * off: its parts between faults of any kind are filled one by one, a piece that may lie across neighbouring parts is shared
 * among them. Something wound off: its clean stretches are filled one by one, faults that some lines allow hinder none, and at
 * least one wind-off is paid. For each stretch where the drum could be stopped two relaxations are made and the lower counts.
 * Apart: each stretch may use the full demand, and a change of put-up is shared out by length. Joined: what lies outside the
 * stop is one stretch, so that demand and changes count once, but pieces may lie across faults. Which put-ups are used is then
 * decided by branching, and in which stretch an item lies that the stretches would give more of than is wanted. Every rounding goes up: no pattern earns more, so the bound built on it is proven.
 */
export class RelaxedPricer {
  readonly #catalog: Catalog
  readonly #items: Item[]
  readonly #fill = new StretchFill()
  readonly #joinedFill = new StretchFill()
  readonly #worths = new Map<DrumModel, Map<string, RestWorth>>()
  /** Stretches filled so far: the measure of work. */
  work = 0

  constructor(catalog: Catalog, items: Item[]) {
    this.#catalog = catalog
    this.#items = items
  }

  /** Gives back the memory of the tables of rests. */
  forget(): void {
    this.#worths.clear()
  }

  /** `floor`: what is not above it need not be found out exactly. `woundOff`: the one way of working to look at, null for both. */
  most(
    model: DrumModel,
    set: PlaceSet,
    prices: Float64Array,
    demand: Float64Array,
    effort: Effort,
    floor: number,
    branch: { range: RestRange; woundOff: boolean | null },
  ): RelaxedFilling {
    const rules = this.#catalog.input.site.cutRules
    const caseOf = (woundOff: boolean): Case => ({
      set,
      worth: this.#worthOf(model, set, woundOff, branch.range),
      woundOff,
      apart: (woundOff ? model.relaxed : model.parts).map((s) =>
        offeredApart(this.#items, set, s, prices, demand, rules),
      ),
      joined: offeredJoined(this.#items, set, model.relaxed, prices, demand, rules),
      demand,
      ...effort,
    })
    let best: RelaxedFilling = NOTHING
    if (branch.woundOff !== true) best = this.#branch(caseOf(false), floor)
    const canWindOff = set.places.some((p) => p.line !== null)
    if (branch.woundOff === false || !canWindOff) return best
    const woundOff = this.#branch(caseOf(true), Math.max(floor, best.profitMicro))
    return woundOff.profitMicro > best.profitMicro ? woundOff : best
  }

  /** Splits choices, the most promising first. */
  #branch(given: Case, floor: number): RelaxedFilling {
    const open = [this.#bound(given, { paid: new Set(), barred: new Set(), caps: new Map() })]
    for (let n = 1; n < given.nodes; n += 2) {
      let at = 0
      for (let i = 1; i < open.length; i++) if (open[i]!.profitMicro > open[at]!.profitMicro) at = i
      const top = open[at]!
      if (top.children.length === 0 || top.profitMicro <= floor) break
      const children = top.children.map((node) => {
        const found = this.#bound(given, node)
        // a part of a choice can earn no more than the whole of it
        return { ...found, profitMicro: Math.min(found.profitMicro, top.profitMicro) }
      })
      open.splice(at, 1, ...children)
    }
    return open.reduce((a, b) => (b.profitMicro > a.profitMicro ? b : a))
  }

  #bound(given: Case, node: Node): NodeBound {
    const { set, worth, apart, woundOff } = given
    const last = apart.length - 1
    const single = last === 0
    const totalUm = worth.outerUm(last)
    const cellUm = cellFor(Math.max(...apart.map((_, k) => worth.lengthUm(k))), given.cells)
    const joinedCellUm = cellFor(totalUm, given.cells)
    if (!single) {
      const change = (g: number) => (node.paid.has(g) ? 0 : set.changeMicro)
      this.#joinedFill.run(totalUm, joinedCellUm, within(given.joined, node, null), change, true)
      this.work++
    }
    let best = NOTHING
    let passed: Passed = { micro: 0, taken: [] }
    for (let k = 0; k <= last; k++) {
      const share = (set.changeMicro * worth.lengthUm(k)) / totalUm
      this.#fill.run(
        worth.lengthUm(k),
        cellUm,
        within(apart[k]!, node, k),
        (g) => (node.paid.has(g) ? 0 : share),
        true,
      )
      this.work++
      const { cells } = this.#fill
      passed = { ...passed, micro: passed.micro + worth.gapBeforeMicro(k) }
      const stop = this.#fill.bestWith(worth.stops(k, cellUm, cells))
      const stopMicro = passed.micro + stop.worth
      if (stopMicro > best.profitMicro) {
        const taken = [...passed.taken, this.#fill.taken(stop.at)]
        const joined = single ? null : this.#joinedStop(given, k, joinedCellUm, stopMicro)
        const amounts =
          joined?.amounts ?? amountsOf(this.#items, taken.flat(), this.#catalog.input.site.cutRules)
        const restUm = joined?.restUm ?? worth.keptUm(k, worth.lengthUm(k) - stop.at * cellUm, cellUm)
        const profitMicro = joined?.profitMicro ?? stopMicro
        const children = single ? [] : childrenOf(node, taken, this.#items, given.demand)
        if (profitMicro > best.profitMicro) best = { profitMicro, amounts, restUm, woundOff, children }
      }
      const pass = this.#fill.bestWith(worth.passes(k, cellUm, cells))
      passed = { micro: passed.micro + pass.worth, taken: [...passed.taken, this.#fill.taken(pass.at)] }
    }
    const paidMicro = node.paid.size * set.changeMicro
    // a micro-euro a stretch covers the rounding of the sums, which stay below 2^53
    const profitMicro = Math.ceil(best.profitMicro - paidMicro + worth.fixedMicro) + 2 * apart.length + 2
    return { ...best, profitMicro }
  }

  /** The joined relaxation for a stop, where it is below `apartMicro`. */
  #joinedStop(
    given: Case,
    k: number,
    cellUm: number,
    apartMicro: number,
  ): Omit<RelaxedFilling, 'woundOff'> | null {
    const { worth } = given
    const whole = this.#joinedFill.bestWith(worth.joined(k, cellUm))
    const profitMicro = whole.worth + worth.gapsUpToMicro(k)
    if (profitMicro >= apartMicro) return null
    const leftUm = Math.min(worth.lengthUm(k), worth.outerUm(k) - whole.at * cellUm)
    const amounts = amountsOf(
      this.#items,
      this.#joinedFill.taken(whole.at),
      this.#catalog.input.site.cutRules,
    )
    return { profitMicro, amounts, restUm: worth.keptUm(k, leftUm, cellUm) }
  }

  /** What rests are worth does not depend on prices, so it is reckoned once for each drum, places, way of working and range. */
  #worthOf(model: DrumModel, set: PlaceSet, woundOff: boolean, range: RestRange): RestWorth {
    const known = this.#worths.get(model) ?? new Map<string, RestWorth>()
    if (known.size > MOST_WORTHS) known.clear()
    this.#worths.set(model, known)
    const key = `${set.places.map((p) => p.id).join('+')}:${woundOff}:${range.leastUm}:${range.mostUm}`
    const stretches = woundOff ? model.relaxed.map((s) => ({ ...s, insideUm: 0 })) : model.parts
    const worth = known.get(key) ?? new RestWorth(this.#catalog, model, set, stretches, woundOff, range)
    known.set(key, worth)
    return worth
  }
}

function cellFor(lengthUm: LengthUm, cells: number): number {
  return Math.max(1, Math.ceil(lengthUm / cells))
}

/** What the choice still lets lie in a stretch; in all of them together where `stretch` is null. */
function within(offered: Offered[], node: Node, stretch: number | null): Offered[] {
  if (node.barred.size === 0 && (stretch === null || node.caps.size === 0)) return offered
  const kept: Offered[] = []
  for (const o of offered) {
    if (node.barred.has(o.group)) continue
    const cap = stretch === null ? undefined : node.caps.get(`${stretch}:${o.item}`)
    if (cap === undefined || cap >= o.cap) kept.push(o)
    else if (cap > 0) kept.push({ ...o, cap })
  }
  return kept
}

/** Splits on a put-up that is used without being paid in full, else on an item that the stretches give more of than is wanted. */
function childrenOf(node: Node, taken: Taken[][], items: Item[], demand: Float64Array): Node[] {
  const group = openGroupOf(taken.flat(), node.paid)
  if (group !== null)
    return [
      { ...node, paid: new Set(node.paid).add(group) },
      { ...node, barred: new Set(node.barred).add(group) },
    ]
  for (const item of items) {
    if (item.split) continue
    const counts = taken.map((stretch) =>
      stretch.reduce((sum, t) => sum + (t.item === item.index ? t.count : 0), 0),
    )
    const wanted = demand[item.index]!
    if (counts.reduce((a, b) => a + b, 0) <= wanted) continue
    // either the stretch with most of it gives no more than its part, or each of the others gives no more than is left then
    const most = counts.indexOf(Math.max(...counts))
    const nextMost = Math.max(...counts.filter((_, k) => k !== most))
    const leastPart = Math.max(0, wanted - nextMost)
    if (leastPart > counts[most]! - 1) continue
    const part = Math.floor((leastPart + counts[most]! - 1) / 2)
    const capped = (caps: [number, number][]) => {
      const next = new Map(node.caps)
      for (const [stretch, cap] of caps) {
        const key = `${stretch}:${item.index}`
        next.set(key, Math.min(cap, next.get(key) ?? Number.POSITIVE_INFINITY))
      }
      return { ...node, caps: next }
    }
    const others = counts.flatMap((_, k): [number, number][] => (k === most ? [] : [[k, wanted - part - 1]]))
    return [capped([[most, part]]), capped(others)]
  }
  return []
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
