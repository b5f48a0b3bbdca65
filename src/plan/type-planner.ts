import type { MicroEur } from '../quantity/money.ts'
import type { TurnClock } from './bound-tree.ts'
import type { Catalog } from './catalog.ts'
import { hasFewDrums, type TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { mostServed } from './most-served.ts'
import { PieceMoves } from './piece-moves.ts'
import { seededRandom } from './random.ts'
import { plainServiceBound, shortStockBound } from './service-bound.ts'
import { TypeBound } from './type-bound.ts'
import { TypeSearch } from './type-search.ts'
import { isBetter, solutionOf, type TypeSolution } from './type-solution.ts'

/** Where one cable type stands: plain data, so that it can cross from thread to thread. */
export interface TypeResult {
  solution: TypeSolution
  serviceBoundMicro: MicroEur
  /** Proven at the service of the solution; −Infinity where there is none yet. */
  boundMicro: MicroEur
  work: number
}

const FIRST_BIAS = 0.5
const FURTHER_BIASES = [0, 1.5]
/** So many moves of pieces take about as long as filling one stretch. */
const MOVES_A_UNIT = 100
/** Moves of pieces in one walk: many short walks find more than one long one. */
const MOVES_A_WALK = 2_000
const MOVES_A_DRUM = 1_500
const MOST_MOVES = 40_000
/** Walks on from a new plan, and from the best one, at a time. */
const WALKS = 3
const WALKS_BEST = 5
/** Further plans begun from nothing at first where drums are few, and the most that they differ in how dear long pieces are. */
const FIRST_STARTS = 2
const MOST_BIAS = 2
/** The first bound comes after a turn of search, so that it stands on good prices. */
export const ROOT_TURN = 1
/** After the first turns one in so many goes to the search of a type whose bound is known: with few drums it has found most by then. */
const SEARCH_EVERY = 5
const SEARCH_EVERY_MANY = 3
/** While service is short a bound on cost would soon be worth nothing. */
const BOUND_EVERY_SHORT = 8
export const FIRST_TURNS = 3
/** A gap that is still more than this share of what it was is as good as the same. */
const HARDLY = 0.98
/** What serves most is asked of the library once the first turns have not found it, and then in every eighth with twice the limit. */
const MOST_EVERY = 8
const MOST_SECONDS = 1
const MOST_NODES = 400
/** It may take so much of the time that is left, and is not asked where that is too short to begin. */
const MOST_SHARE = 0.3
const MOST_LEAST_SECONDS = 0.25
/** So many steps of the simplex method take about as long as filling one stretch. */
const STEPS_A_UNIT = 10

/**
 * Plans one cable type in turns: a first plan by filling drums at guessed prices, then by turns better plans (moves of pieces, from
 * new beginnings and from the best) and a better bound. The caller owns the clock and says when it is late.
 */
export class TypePlanner {
  readonly instance: TypeInstance
  turns = 0
  /** Turns since the gap last became noticeably smaller. */
  turnsInVain = 0
  readonly #catalog: Catalog
  readonly #engine: LinearProgramEngine
  readonly #search: TypeSearch
  readonly #moves: PieceMoves
  #serviceBoundMicro: MicroEur
  #shortKnown = false
  /** What the library says that nothing serves more than. */
  #leastUnservedMicro: MicroEur = 0
  #mostAsked = 0
  #mostWork = 0
  #bound: TypeBound | null = null
  /** Work on bounds before this one. */
  #boundWork = 0
  #boundMicro: MicroEur = Number.NEGATIVE_INFINITY
  #boundDone = false
  /** The last turn was one of the bound, and something rose: it was not in vain. */
  #boundRising = false

  constructor(catalog: Catalog, instance: TypeInstance, engine: LinearProgramEngine, seed: number) {
    this.#catalog = catalog
    this.#engine = engine
    this.instance = instance
    const random = seededRandom(seed)
    this.#search = new TypeSearch(catalog, instance, random)
    this.#moves = new PieceMoves(catalog, instance, random)
    this.#serviceBoundMicro = plainServiceBound(instance)
  }

  /** Some plan, in milliseconds: there is one to show, and to stop with. */
  atOnce(): void {
    this.#search.serveMore()
  }

  /** A first plan that is worth going on from; where it is late already, any. */
  first(late: () => boolean): void {
    if (!this.#search.best) this.atOnce()
    if (!late()) this.#search.sweep(FIRST_BIAS, late)
  }

  /** The search itself, for whoever begins from an old plan. */
  get search(): TypeSearch {
    return this.#search
  }

  /** Work done so far; a unit is about what filling one stretch takes, and a turn is one at least. */
  get work(): number {
    const moves = Math.ceil(this.#moves.work / MOVES_A_UNIT)
    const bounds = this.#boundWork + (this.#bound?.work ?? 0)
    return this.turns + this.#search.pricer.work + moves + this.#mostWork + bounds
  }

  result(): TypeResult {
    return {
      solution: this.#search.best ?? solutionOf(this.instance, []),
      serviceBoundMicro: this.#serviceBoundMicro,
      boundMicro: this.boundMicro,
      work: this.work,
    }
  }

  /** The cost bound counts only for the service it was proven at. */
  get boundMicro(): MicroEur {
    return this.#bound && this.#bound.unservedMicro === this.#search.best?.unservedMicro
      ? this.#boundMicro
      : Number.NEGATIVE_INFINITY
  }

  /** Whether more could be served as far as the bound on service, and the library, tell. */
  get short(): boolean {
    const leastMicro = Math.max(this.#serviceBoundMicro, this.#leastUnservedMicro)
    return (this.#search.best?.unservedMicro ?? 0) > leastMicro
  }

  /** With so many drums walks and bounds take long. What serves more is found, and proven not to be there, by other ways. */
  get walksSlowly(): boolean {
    return this.#many && !this.short
  }

  get #many(): boolean {
    return !hasFewDrums(this.instance)
  }

  /** How far the cost of the plan and its bound lie apart. */
  get gapMicro(): MicroEur {
    const { best } = this.#search
    return best && this.instance.drums.length > 0 ? best.costMicro - this.boundMicro : 0
  }

  /** A turn ends as soon as may be when the clock runs out; what was begun is taken up again in the next. */
  turn(clock: TurnClock): void {
    const before = this.gapMicro
    this.#turn(clock)
    if (this.gapMicro <= before * HARDLY) this.turnsInVain = 0
    else if (!this.#boundRising) this.turnsInVain++
  }

  #turn(clock: TurnClock): void {
    const round = this.turns++
    this.#boundRising = false
    if (round === 0) {
      if (!this.walksSlowly)
        for (const bias of FURTHER_BIASES) if (!clock.late()) this.#search.sweep(bias, clock.late)
      if (this.walksSlowly) this.#walkSlowly(clock)
      else this.#startAfresh(this.#many ? 0 : FIRST_STARTS, clock)
      if (this.short) this.#serveMore(clock)
      return
    }
    if (this.short && round >= ROOT_TURN) {
      if (round % MOST_EVERY === FIRST_TURNS) this.serveMost(clock)
      else this.#serveMore(clock)
    }
    if (this.#boundNext(round)) this.#prove(round === ROOT_TURN, clock)
    else this.#searchOn(clock)
  }

  /** What serves more is at first put together without regard to cost. */
  #serveMore(clock: TurnClock): void {
    const before = this.#search.best?.unservedMicro
    this.#search.serveMore()
    if (this.#search.best?.unservedMicro !== before) this.#walkOn(this.#search.best, clock)
  }

  /** Asks the library what serves most; better than any other way where stock is short or hardly reaches. */
  serveMost(clock: TurnClock): void {
    const { timed, leftMs } = clock
    const effort = 2 ** this.#mostAsked
    const seconds = Math.min(MOST_SECONDS * effort, (MOST_SHARE * leftMs()) / 1000)
    if (timed && seconds < MOST_LEAST_SECONDS) return
    this.#mostAsked++
    const limit = timed
      ? { seconds, nodes: Number.POSITIVE_INFINITY }
      : { seconds: Number.POSITIVE_INFINITY, nodes: MOST_NODES * effort }
    const found = mostServed(this.#catalog, this.instance, this.#engine, limit)
    if (!found) return
    this.#mostWork += Math.ceil(found.work / STEPS_A_UNIT)
    const serves = this.#search.best?.unservedMicro
    this.#search.consider(found.patterns)
    const { best } = this.#search
    if (!best) return
    if (found.best && !this.#manyMissing(best)) {
      this.#leastUnservedMicro = best.unservedMicro
      // what it says is not proven, and nothing else would ask for a proof once the type is not short
      this.#proveService(best, clock.late)
    }
    if (best.unservedMicro !== serves) this.#walkOn(best, clock)
  }

  /** Of pieces in parts that are too many to be followed one by one the library was asked only for whole ones. */
  #manyMissing({ missing }: TypeSolution): boolean {
    return this.instance.items.some((i) => i.loose && missing[i.index]! > 0)
  }

  /** Bound or search: the search soon finds little more, the bound goes on rising. */
  #boundNext(round: number): boolean {
    if (this.#boundDone) return false
    if (this.short) return round % BOUND_EVERY_SHORT === BOUND_EVERY_SHORT - 1
    if (round < FIRST_TURNS) return round >= ROOT_TURN
    return round % (this.#many ? SEARCH_EVERY_MANY : SEARCH_EVERY) !== 0
  }

  /** Searches on, and leaves the bounds as they are. */
  seek(clock: TurnClock): void {
    this.turns++
    this.#searchOn(clock)
  }

  /** A bound, however weak, where time ran out before there was one. */
  settle(leftMs: () => number): void {
    const { best } = this.#search
    if (!best || this.boundMicro > Number.NEGATIVE_INFINITY) return
    const bound = this.#newBound(best)
    bound.quick(best.costMicro, leftMs)
    this.#boundMicro = Math.min(bound.boundMicro, best.costMicro)
  }

  dispose(): void {
    this.#bound?.dispose()
  }

  #searchOn(clock: TurnClock): void {
    if (this.walksSlowly) {
      this.#walkSlowly(clock)
      return
    }
    // the bound knows better than any search which pieces belong together
    let deal = this.#bound?.takeDeal()
    if (!deal) this.#startAfresh(1, clock)
    while (deal) {
      this.#walkOn(this.#search.follow(deal), clock)
      deal = clock.late() ? null : this.#bound?.takeDeal()
    }
  }

  /** Plans begun from nothing and gone on with for a while, and then the best: what one never finds another soon does. */
  #startAfresh(starts: number, clock: TurnClock): void {
    for (let n = 0; n < starts && (n === 0 || !clock.late()); n++) {
      const from = this.#search.sweep(MOST_BIAS * this.#search.random(), () => clock.leftMs() <= 0)
      this.#walkOn(from, clock)
    }
    this.#walkOn(this.#search.best, clock, WALKS_BEST)
  }

  /** A walk that were broken off while it is still warm would have found nothing yet: it ends only with all time. */
  #walkOn(from: TypeSolution | null, { late, leftMs }: TurnClock, walks = WALKS): void {
    const moves = this.#movesAWalk
    const over = () => leftMs() <= 0
    let at = from
    for (let n = 0; at && n < walks && (n === 0 || !late()); n++) {
      const next = this.#search.consider(this.#moves.run(at, moves, over))
      if (isBetter(next, at)) at = next
    }
  }

  /**
   * One walk for the whole turn, or as long as all short ones where that has no length of its own: with many drums a slow one finds
   * what no number of short ones does.
   */
  #walkSlowly({ leftMs, turnLeftMs }: TurnClock): void {
    const { best } = this.#search
    if (!best) return
    const wholeMs = turnLeftMs()
    const over = () => leftMs() <= 0
    const found = Number.isFinite(wholeMs)
      ? this.#moves.run(best, this.#movesAWalk, over, () => (wholeMs > 0 ? 1 - turnLeftMs() / wholeMs : 1))
      : this.#moves.run(best, this.#movesAWalk * (WALKS + WALKS_BEST), over)
    this.#search.consider(found)
  }

  get #movesAWalk(): number {
    return Math.min(MOST_MOVES, MOVES_A_WALK + MOVES_A_DRUM * this.instance.drums.length)
  }

  #newBound(best: TypeSolution): TypeBound {
    this.#boundWork += this.#bound?.work ?? 0
    this.#bound?.dispose()
    this.#bound = new TypeBound(this.#catalog, this.instance, this.#engine, best.unservedMicro, [
      ...this.#search.pool.values(),
    ])
    this.#boundMicro = Number.NEGATIVE_INFINITY
    this.#boundDone = false
    return this.#bound
  }

  /** Once: it takes a while, and says the same again. */
  #proveService({ unservedMicro }: TypeSolution, late: () => boolean): void {
    if (this.#shortKnown || unservedMicro <= this.#serviceBoundMicro) return
    this.#shortKnown = true
    const short = shortStockBound(this.instance, this.#engine, late)
    this.#serviceBoundMicro = Math.max(this.#serviceBoundMicro, Math.min(short, unservedMicro))
  }

  /** `once`: no more than a first bound, so that every type has one soon. */
  #prove(once: boolean, clock: TurnClock): void {
    const { best } = this.#search
    if (!best) return
    if (this.turns > FIRST_TURNS) this.#proveService(best, clock.late)
    const bound = this.#bound?.unservedMicro === best.unservedMicro ? this.#bound : this.#newBound(best)
    this.#boundDone = !bound.turn(best.costMicro, once, clock)
    this.#boundRising = bound.rising
    this.#boundMicro = Math.max(this.#boundMicro, Math.min(bound.boundMicro, best.costMicro))
    if (this.#many) bound.rest()
  }
}
