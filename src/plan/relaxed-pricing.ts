import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { Item } from './item.ts'
import type { PlaceSet } from './place-set.ts'
import { amountsOf, offeredApart, offeredJoined } from './relaxed-offers.ts'
import { ANY_REST, type RestRange, RestWorth } from './rest-worth.ts'
import { type Offered, StretchFill, type Taken } from './stretch-fill.ts'

/** Put-up choices that are looked into for one drum before its bound is taken as it stands. */
const MOST_NODES = 16
/** Tables of rests kept for one drum. */
const MOST_WORTHS = 24

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

/** One drum at given prices: what may lie where, and what rests are worth. */
interface Case {
  set: PlaceSet
  worth: RestWorth
  woundOff: boolean
  apart: Offered[][]
  joined: Offered[]
  cells: number
}

const NOTHING: NodeBound = {
  profitMicro: Number.NEGATIVE_INFINITY,
  amounts: new Map(),
  restUm: 0,
  openGroup: null,
}

/**
 * An upper bound on what any pattern of a drum can earn at given prices. A drum is worked in one of two ways. Nothing wound
 * off: its parts between faults of any kind are filled one by one, a piece that may lie across neighbouring parts is shared
 * among them. Something wound off: its clean stretches are filled one by one, faults that some lines allow hinder none, and at
 * least one wind-off is paid. For each stretch where the drum could be stopped two relaxations are made and the lower counts.
 * Apart: each stretch may use the full demand, and a change of put-up is shared out by length. Joined: what lies outside the
 * stop is one stretch, so that demand and changes count once, but pieces may lie across faults. Which put-ups are used is then
 * decided by branching. Every rounding goes up: no pattern earns more, so the bound built on it is proven.
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
    const rules = this.#catalog.input.site.cutRules
    const caseOf = (woundOff: boolean): Case => ({
      set,
      worth: this.#worthOf(model, set, woundOff, range),
      woundOff,
      apart: (woundOff ? model.relaxed : model.parts).map((s) =>
        offeredApart(this.#items, set, s, prices, caps, rules),
      ),
      joined: offeredJoined(this.#items, set, model.relaxed, prices, caps, rules),
      cells,
    })
    const plain = this.#branch(caseOf(false), floor)
    if (set.places.every((p) => p.line === null)) return plain
    const woundOff = this.#branch(caseOf(true), Math.max(floor, plain.profitMicro))
    return woundOff.profitMicro > plain.profitMicro ? woundOff : plain
  }

  /** Decides put-ups one by one, the most promising choice first. */
  #branch(given: Case, floor: number): RelaxedFilling {
    const start: Node = { paid: new Set(), barred: new Set() }
    const open = [{ node: start, ...this.#bound(given, start) }]
    for (let n = 1; n < MOST_NODES; n += 2) {
      open.sort((a, b) => b.profitMicro - a.profitMicro)
      const top = open[0]!
      if (top.openGroup === null || top.profitMicro <= floor) break
      open.shift()
      for (const use of [true, false]) {
        const node = { paid: new Set(top.node.paid), barred: new Set(top.node.barred) }
        ;(use ? node.paid : node.barred).add(top.openGroup)
        const found = this.#bound(given, node)
        // a part of a choice can earn no more than the whole of it
        open.push({ node, ...found, profitMicro: Math.min(found.profitMicro, top.profitMicro) })
      }
    }
    return open.reduce((a, b) => (b.profitMicro > a.profitMicro ? b : a))
  }

  #bound(given: Case, node: Node): NodeBound {
    const { set, worth, apart, woundOff } = given
    const last = apart.length - 1
    const single = apart.length === 1
    const totalUm = worth.outerUm(last)
    const cellUm = cellFor(Math.max(...apart.map((_, k) => worth.lengthUm(k))), given.cells)
    const joinedCellUm = cellFor(totalUm, given.cells)
    const within = (list: Offered[]) =>
      node.barred.size === 0 ? list : list.filter((o) => !node.barred.has(o.group))
    if (!single) {
      this.#joinedFill.run(
        totalUm,
        joinedCellUm,
        within(given.joined),
        (g) => (node.paid.has(g) ? 0 : set.changeMicro),
        true,
      )
      this.work++
    }
    let best = NOTHING
    // what is passed so far, without and with something wound off
    let none = { micro: 0, taken: [] as Taken[] }
    let some = { micro: Number.NEGATIVE_INFINITY, taken: [] as Taken[] }
    for (let k = 0; k <= last; k++) {
      const share = (set.changeMicro * worth.lengthUm(k)) / totalUm
      this.#fill.run(
        worth.lengthUm(k),
        cellUm,
        within(apart[k]!),
        (g) => (node.paid.has(g) ? 0 : share),
        true,
      )
      this.work++
      const { cells } = this.#fill
      const gap = worth.gapBeforeMicro(k)
      none = { ...none, micro: none.micro + gap }
      some = { ...some, micro: some.micro + gap }
      const stops = this.#bestOf(this.#fill, worth.stops(k, cellUm, cells))
      const before = woundOff ? some : none
      let stop = { micro: before.micro + stops.worth, taken: before.taken, at: stops.at }
      if (woundOff) {
        const here = this.#bestOf(this.#fill, worth.stopsWoundOff(k, cellUm, cells))
        if (none.micro + here.worth > stop.micro)
          stop = { micro: none.micro + here.worth, taken: none.taken, at: here.at }
      }
      if (stop.micro > best.profitMicro) {
        const taken = [...stop.taken, ...this.#fill.taken(stop.at)]
        const restUm = worth.keptUm(k, worth.lengthUm(k) - stop.at * cellUm, cellUm)
        const openGroup = single ? null : openGroupOf(taken, node.paid)
        const found = single ? null : this.#joinedStop(given, k, joinedCellUm, stop.micro)
        const candidate: NodeBound = found
          ? { ...found, openGroup }
          : {
              profitMicro: stop.micro,
              amounts: amountsOf(this.#items, taken, this.#catalog.input.site.cutRules),
              restUm,
              openGroup,
            }
        if (candidate.profitMicro > best.profitMicro) best = candidate
      }
      if (k === last) break
      const scraps = this.#bestOf(this.#fill, worth.scraps(k, cellUm, cells))
      const scrapTaken = this.#fill.taken(scraps.at)
      if (woundOff) {
        const winds = this.#bestOf(this.#fill, worth.windOffs(k, cellUm, cells))
        const viaSome = some.micro + Math.max(scraps.worth, winds.worth)
        const viaNone = none.micro + winds.worth
        if (viaNone >= viaSome)
          some = { micro: viaNone, taken: [...none.taken, ...this.#fill.taken(winds.at)] }
        else
          some = {
            micro: viaSome,
            taken: [...some.taken, ...(winds.worth > scraps.worth ? this.#fill.taken(winds.at) : scrapTaken)],
          }
      }
      none = { micro: none.micro + scraps.worth, taken: [...none.taken, ...scrapTaken] }
    }
    const paidMicro = node.paid.size * set.changeMicro
    // a micro-euro a stretch covers the rounding of the sums, which stay below 2^53
    return {
      ...best,
      profitMicro: Math.ceil(best.profitMicro - paidMicro + worth.fixedMicro) + 2 * apart.length + 2,
    }
  }

  /** The joined relaxation for a stop, where it is below `apartMicro`. */
  #joinedStop(given: Case, k: number, cellUm: number, apartMicro: number): RelaxedFilling | null {
    const { worth } = given
    const whole = this.#bestOf(this.#joinedFill, worth.joined(k, cellUm))
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
