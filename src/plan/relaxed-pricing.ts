import type { LengthUm } from '../quantity/length.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { Item } from './item.ts'
import { type PlaceSet, waysOf } from './place-set.ts'
import { RelaxedFill } from './relaxed-fill.ts'
import { amountsOf, type OfferShape, offeredAt, shapesApart, shapesJoined } from './relaxed-offers.ts'
import { childrenOf, type RelaxedNode, rootOf, within } from './relaxed-split.ts'
import { type RestRange, RestWorth } from './rest-worth.ts'
import type { Offered, Taken } from './stretch-fill.ts'

/** How fine the grid is and how many choices are looked into for one drum before its bound is taken as it stands. */
export interface Effort {
  cells: number
  nodes: number
}

/** A grid so much coarser, but of no fewer cells, is mostly good enough to see that something is not good enough. */
const COARSER = 8
const LEAST_CELLS = 100
/** A guess passes over what was not good enough so many times before it looks at it again. A tuned figure. */
const PASSED_OVER = 2
/** Tables of rests kept for one drum. */
const MOST_WORTHS = 24
/** Bounds remembered of one drum. */
const MOST_KNOWN = 400

/** What the pieces of a drum are worth, and what branching lets it do. */
export interface DrumTerms {
  /** By item, a piece. */
  prices: Float64Array
  /** By item: copies that the whole drum may give. */
  caps: Float64Array
  /** What it is worth that the drum is mounted at all; may be negative. */
  mountedPrice: number
  range: RestRange
  /** The one way of working to look at, null for both. */
  woundOff: boolean | null
  /** Put-ups that are used, or are not. */
  putups: ReadonlyMap<number, boolean>
}

/** A filling of a drum that no rule but the relaxed ones holds together: what it would take and earn. */
export interface RelaxedFilling {
  profitMicro: number
  /** By item. */
  amounts: Map<number, number>
  /** What stays on the drum. */
  restUm: LengthUm
  /** Whether something is wound off. */
  woundOff: boolean
  /** Put-ups that it pays for, by number. */
  putups: ReadonlySet<number>
  /** Clean length that it leaves in no piece, as far as the relaxation looks at it. */
  unusedUm: LengthUm
}

/** What was last found out about one way of working a drum: it earns no more than that at those prices and caps. */
interface Known {
  last: { prices: Float64Array; caps: Float64Array; profitMicro: number } | null
  /** That was no more than another way of working the drum earned. */
  below: boolean
  /** How often it has been passed over since. */
  passedOver: number
}

/** What may lie in the parts of a drum, in its clean stretches, and in all of these as one. */
interface Shapes {
  parts: OfferShape[][]
  relaxed: OfferShape[][]
  joined: OfferShape[]
}

/** What is passed on the way inwards: its worth and, by stretch, what was taken from it. */
interface Passed {
  micro: number
  taken: Taken[][]
  unusedUm: LengthUm
}

interface NodeBound extends RelaxedFilling {
  /** Ways to split the choice further; empty where nothing is left to decide. */
  children: RelaxedNode[]
}

/** One drum at given prices: what may lie where, and what rests are worth. */
interface Case {
  set: PlaceSet
  worth: RestWorth
  woundOff: boolean
  apart: Offered[][]
  joined: Offered[]
  terms: DrumTerms
  cells: number
  nodes: number
}

const NOTHING: NodeBound = {
  profitMicro: Number.NEGATIVE_INFINITY,
  amounts: new Map(),
  restUm: 0,
  woundOff: false,
  putups: new Set(),
  unusedUm: 0,
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
  /** By stretch, and all stretches as one. */
  readonly #fills: RelaxedFill[] = []
  readonly #joinedFill: RelaxedFill
  readonly #nearest: boolean
  /** What they hold. */
  #filled: { apart: Offered[][]; node: RelaxedNode; cells: number } | null = null
  readonly #worths = new Map<DrumModel, Map<string, RestWorth>>()
  readonly #known = new Map<DrumModel, Map<string, Known>>()
  readonly #shapes = new Map<PlaceSet, Shapes>()
  /** Stretches filled so far: the measure of work. */
  work = 0

  /** `nearest`: see there; what is found is a guess then. */
  constructor(catalog: Catalog, items: Item[], nearest = false) {
    this.#catalog = catalog
    this.#items = items
    this.#nearest = nearest
    this.#joinedFill = new RelaxedFill(nearest)
  }

  /** Gives back what is quickly made again. */
  forget(): void {
    this.#fills.length = 0
    this.#filled = null
    this.#worths.clear()
    this.#known.clear()
    this.#shapes.clear()
  }

  /** `floor`: what is not above it need not be found out exactly. */
  most(model: DrumModel, set: PlaceSet, terms: DrumTerms, effort: Effort, floor: number): RelaxedFilling {
    const { prices, caps } = terms
    const shapes = this.#shapesOf(model, set)
    const offered = new Map<OfferShape[][], Offered[][]>()
    const apartOf = (shapes: OfferShape[][]) => {
      const known = offered.get(shapes) ?? shapes.map((s) => offeredAt(s, prices, caps))
      offered.set(shapes, known)
      return known
    }
    const joined = offeredAt(shapes.joined, prices, caps)
    const root = rootOf(terms.putups)
    const caseOf = (woundOff: boolean): Case => ({
      set,
      worth: this.#worthOf(model, set, woundOff, terms.range),
      woundOff,
      apart: apartOf(woundOff ? shapes.relaxed : shapes.parts),
      joined,
      terms,
      ...effort,
    })
    let best: RelaxedFilling = NOTHING
    for (const woundOff of waysOf(model, set, terms.woundOff)) {
      const least = Math.max(floor, best.profitMicro)
      const known = this.#knownOf(model, set, terms, woundOff)
      if (knownToBeBelow(known.last, terms, least) || this.#passesOver(known)) continue
      const given = caseOf(woundOff)
      // what was not good enough the last time is seen not to be again on a coarse grid, in a fraction of the time
      const cells = Math.floor(given.cells / COARSER)
      const coarse = known.below && cells >= LEAST_CELLS ? this.#bound({ ...given, cells }, root) : null
      const found = coarse && coarse.profitMicro <= least ? coarse : this.#branch(given, root, least)
      known.last = { prices, caps, profitMicro: found.profitMicro }
      known.below = found.profitMicro <= least
      known.passedOver = 0
      if (found.profitMicro > best.profitMicro) best = found
    }
    return best
  }

  /** Whether a guess does not look at it this time, which is then counted. */
  #passesOver(known: Known): boolean {
    return this.#nearest && known.below && known.passedOver++ < PASSED_OVER
  }

  /** Which pieces may lie where does not depend on prices, so it is found once for each drum and places. */
  #shapesOf(model: DrumModel, set: PlaceSet): Shapes {
    const known = this.#shapes.get(set)
    if (known) return known
    const rules = this.#catalog.input.site.cutRules
    const parts = model.parts.map((s) => shapesApart(this.#items, set, s, rules))
    const relaxed = model.relaxed.map((s) => shapesApart(this.#items, set, s, rules))
    // mostly no line allows a fault, and both are the same
    const same =
      JSON.stringify([spansOf(model.parts), parts]) === JSON.stringify([spansOf(model.relaxed), relaxed])
    const shapes = {
      parts,
      relaxed: same ? parts : relaxed,
      joined: shapesJoined(this.#items, set, model.relaxed, rules),
    }
    this.#shapes.set(set, shapes)
    return shapes
  }

  #knownOf(model: DrumModel, set: PlaceSet, { range, putups }: DrumTerms, woundOff: boolean): Known {
    const known = this.#known.get(model) ?? new Map<string, Known>()
    if (known.size > MOST_KNOWN) known.clear()
    this.#known.set(model, known)
    const places = set.places.map((p) => p.id).join('+')
    const key = `${places}:${woundOff}:${rangeKey(range)}:${[...putups].join(' ')}`
    const entry = known.get(key) ?? { last: null, below: false, passedOver: 0 }
    known.set(key, entry)
    return entry
  }

  /** Splits choices, the most promising first. */
  #branch(given: Case, root: RelaxedNode, floor: number): RelaxedFilling {
    const open = [this.#bound(given, root)]
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

  #bound(given: Case, node: RelaxedNode): NodeBound {
    const { worth, apart, woundOff } = given
    const last = apart.length - 1
    const single = last === 0
    const totalUm = worth.outerUm(last)
    const cellUm = cellFor(Math.max(...apart.map((_, k) => worth.lengthUm(k))), given.cells)
    const joinedCellUm = cellFor(totalUm, given.cells)
    this.#fillIn(given, node, cellUm, joinedCellUm)
    let best = NOTHING
    let passed: Passed = { micro: 0, taken: [], unusedUm: 0 }
    for (let k = 0; k <= last; k++) {
      const fill = this.#fills[k]!
      const { cells } = fill
      passed = { ...passed, micro: passed.micro + worth.gapBeforeMicro(k) }
      const stop = fill.bestWith(worth.stops(k, cellUm, cells))
      const stopMicro = passed.micro + stop.worth
      if (stopMicro > best.profitMicro) {
        const taken = [...passed.taken, fill.taken(stop.at)]
        const joined = single ? null : this.#joinedStop(given, k, joinedCellUm, stopMicro)
        const filled = joined?.taken ?? taken.flat()
        const leftUm = worth.lengthUm(k) - stop.at * cellUm
        const restUm = joined?.restUm ?? worth.keptUm(k, leftUm, cellUm)
        const unusedUm = joined?.unusedUm ?? Math.max(passed.unusedUm, worth.unusedUm(k, leftUm, cellUm))
        const profitMicro = joined?.profitMicro ?? stopMicro
        if (profitMicro > best.profitMicro)
          best = {
            profitMicro,
            amounts: amountsOf(this.#items, filled, this.#catalog.input.site.cutRules),
            restUm,
            unusedUm,
            woundOff,
            putups: new Set([...node.paid, ...filled.map((t) => t.group)]),
            children: single ? [] : childrenOf(node, taken, this.#items, given.terms.caps),
          }
      }
      const pass = fill.bestWith(worth.passes(k, cellUm, cells))
      passed = {
        micro: passed.micro + pass.worth,
        taken: [...passed.taken, fill.taken(pass.at)],
        unusedUm: Math.max(passed.unusedUm, worth.lengthUm(k) - (pass.at + 1) * cellUm),
      }
    }
    const paidMicro = node.paid.size * given.set.changeMicro
    // a micro-euro a stretch covers the rounding of the sums, which stay below 2^53
    const profitMicro = Math.ceil(best.profitMicro - paidMicro + worth.fixedMicro) + 2 * apart.length + 2
    return { ...best, profitMicro }
  }

  /** Fills each stretch, and all as one; not again for another way of working that the same may lie in. */
  #fillIn(
    { set, worth, apart, joined, cells }: Case,
    node: RelaxedNode,
    cellUm: number,
    joinedCellUm: number,
  ): void {
    const { apart: before, node: nodeBefore, cells: cellsBefore } = this.#filled ?? {}
    if (before === apart && nodeBefore === node && cellsBefore === cells) return
    this.#filled = { apart, node, cells }
    const changeOf = (g: number) => (node.paid.has(g) ? 0 : set.changeMicro)
    const totalUm = worth.outerUm(apart.length - 1)
    if (apart.length > 1) {
      this.#joinedFill.run(totalUm, joinedCellUm, within(joined, node, null), changeOf)
      this.work++
    }
    for (const [k, offered] of apart.entries()) {
      const share = worth.lengthUm(k) / totalUm
      this.#fills[k] ??= new RelaxedFill(this.#nearest)
      this.#fills[k].run(worth.lengthUm(k), cellUm, within(offered, node, k), (g) => changeOf(g) * share)
      this.work++
    }
  }

  /** The joined relaxation for a stop, where it is below `apartMicro`. */
  #joinedStop(
    given: Case,
    k: number,
    cellUm: number,
    apartMicro: number,
  ): { profitMicro: number; taken: Taken[]; restUm: LengthUm; unusedUm: LengthUm } | null {
    const { worth } = given
    const whole = this.#joinedFill.bestWith(worth.joined(k, cellUm))
    const profitMicro = whole.worth + worth.gapsUpToMicro(k)
    if (profitMicro >= apartMicro) return null
    const leftUm = worth.outerUm(k) - whole.at * cellUm
    const taken = this.#joinedFill.taken(whole.at)
    return {
      profitMicro,
      taken,
      restUm: worth.keptUm(k, Math.min(worth.lengthUm(k), leftUm), cellUm),
      unusedUm: worth.unusedUm(k, leftUm, cellUm),
    }
  }

  /** What rests are worth does not depend on prices, so it is reckoned once for each drum, places, way of working and range. */
  #worthOf(model: DrumModel, set: PlaceSet, woundOff: boolean, range: RestRange): RestWorth {
    const known = this.#worths.get(model) ?? new Map<string, RestWorth>()
    if (known.size > MOST_WORTHS) known.clear()
    this.#worths.set(model, known)
    const key = `${set.places.map((p) => p.id).join('+')}:${woundOff}:${rangeKey(range)}`
    const stretches = woundOff ? model.relaxed.map((s) => ({ ...s, insideUm: 0 })) : model.parts
    const worth = known.get(key) ?? new RestWorth(this.#catalog, model, set, stretches, woundOff, range)
    known.set(key, worth)
    return worth
  }
}

function rangeKey({ leastUm, mostUm, spareUm }: RestRange): string {
  return `${leastUm}:${mostUm}:${spareUm}`
}

/** Whether prices have risen too little since a bound was found for it to have come above `leastMicro`. */
function knownToBeBelow(last: Known['last'], { prices, caps }: DrumTerms, leastMicro: number): boolean {
  if (!last || last.profitMicro > leastMicro) return false
  let mostMicro = last.profitMicro
  for (let i = 0; i < prices.length; i++) {
    if (caps[i]! > last.caps[i]!) return false
    // of a piece in parts a drum may give a hair more than is wanted, in the relaxation
    mostMicro += (caps[i]! + 1) * Math.max(0, prices[i]! - last.prices[i]!)
    if (mostMicro > leastMicro) return false
  }
  return true
}

function cellFor(lengthUm: LengthUm, cells: number): number {
  return Math.max(1, Math.ceil(lengthUm / cells))
}

function spansOf(stretches: { fromUm: LengthUm; toUm: LengthUm }[]): LengthUm[] {
  return stretches.flatMap((s) => [s.fromUm, s.toUm])
}
