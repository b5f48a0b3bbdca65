import type { MicroEur } from '../quantity/money.ts'
import type { TurnClock } from './bound-tree.ts'
import type { Catalog } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { Master } from './master.ts'
import { mostServed } from './most-served.ts'
import { PieceMoves } from './piece-moves.ts'
import { seededRandom } from './random.ts'
import { plainServiceBound, shortStockBound } from './service-bound.ts'
import { TypeBound } from './type-bound.ts'
import { TypeSearch } from './type-search.ts'
import { solutionOf, type TypeSolution } from './type-solution.ts'

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
/** A type with few drums can afford to look for the best bargain among all of them. */
const FEW_DRUMS = 10
const IMPROVES_AT_FIRST = 30
const IMPROVES_A_TURN = 150
/** Rounds of pricing at a time: so many drums in all. */
const PRICED_DRUMS = 160
const WHOLE_SECONDS = 0.6
/** The library keeps its time limit only roughly, so it is not asked near the end. */
const WHOLE_MARGIN_MS = 2500
/** The whole-number master program is tried in the second turn and then in every fourth. */
const WHOLE_EVERY = 4
/** So many moves of pieces take about as long as filling one stretch. */
const MOVES_A_UNIT = 40
/** Moves of pieces at a time, and how often they have their turn: many short walks find more than one long one. */
const MOVES_A_TURN = 30_000
const MOVES_A_DRUM = 2_000
const DRUMS_EVERY = 2
/** Service comes first: a euro unserved weighs more than any saving that leaving it unserved could bring. */
const SERVICE_WEIGHT = 200
/** The first bound comes after a turn of search, so that it stands on good prices. */
export const ROOT_TURN = 1
/** After the first turns one in so many goes to the search of a type whose bound is known; with few drums the bound shows it where. */
const SEARCH_EVERY = 3
const SEARCH_EVERY_FEW = 2
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
 * Plans one cable type in turns: a first plan by filling drums at guessed prices, then by turns better plans (search, prices
 * from the master program) and a better bound (branching on drums). The caller owns the clock and says when it is late.
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
  #searched = 0
  #master: Master | null = null
  /** Patterns that the master program knows. */
  #known = 0
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

  constructor(catalog: Catalog, instance: TypeInstance, engine: LinearProgramEngine, seed: number) {
    this.#catalog = catalog
    this.#engine = engine
    this.instance = instance
    const random = seededRandom(seed)
    this.#search = new TypeSearch(catalog, instance, random)
    this.#moves = new PieceMoves(catalog, instance, random)
    this.#serviceBoundMicro = plainServiceBound(instance)
  }

  first(late: () => boolean): void {
    this.#search.sweep(FIRST_BIAS, late)
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

  /** How far the cost of the plan and its bound lie apart. */
  get gapMicro(): MicroEur {
    const { best } = this.#search
    return best && this.instance.drums.length > 0 ? best.costMicro - this.boundMicro : 0
  }

  /** A turn ends as soon as may be when the clock runs out; what was begun is taken up again in the next. */
  turn(clock: TurnClock): void {
    const before = this.gapMicro
    this.#turn(clock)
    this.turnsInVain = this.gapMicro > before * HARDLY ? this.turnsInVain + 1 : 0
  }

  #turn(clock: TurnClock): void {
    const round = this.turns++
    if (round === 0) {
      for (const bias of FURTHER_BIASES) if (!clock.late()) this.#search.sweep(bias, clock.late)
      if (this.instance.drums.length <= FEW_DRUMS) this.#search.construct(1)
      this.#improve(IMPROVES_AT_FIRST, clock.late)
      this.#movePieces(clock)
      return
    }
    if (this.short && round >= ROOT_TURN) {
      if (round % MOST_EVERY === FIRST_TURNS) this.serveMost(clock)
      else this.#serveMore(clock)
    }
    if (this.#boundNext(round)) this.#prove(round === ROOT_TURN, clock)
    else this.#searchOn(round, clock)
  }

  /** What serves more is at first put together without regard to cost. */
  #serveMore(clock: TurnClock): void {
    const before = this.#search.best?.unservedMicro
    this.#search.serveMore()
    if (this.#search.best?.unservedMicro !== before) this.#movePieces(clock)
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
    if (found.best && !this.#partsMissing(best)) {
      this.#leastUnservedMicro = best.unservedMicro
      // what it says is not proven, and nothing else would ask for a proof once the type is not short
      this.#proveService(best, clock.late)
    }
    if (best.unservedMicro !== serves) this.#movePieces(clock)
  }

  /** Of pieces that may come in parts the library was asked only for some. */
  #partsMissing({ missing }: TypeSolution): boolean {
    return this.instance.items.some((i) => (i.split?.maxParts ?? 1) > 1 && missing[i.index]! > 0)
  }

  /** Bound or search: the search soon finds little more, the bound goes on rising. */
  #boundNext(round: number): boolean {
    if (this.#boundDone) return false
    if (this.short) return round % BOUND_EVERY_SHORT === BOUND_EVERY_SHORT - 1
    if (round < FIRST_TURNS) return round >= ROOT_TURN
    const few = this.instance.drums.length <= FEW_DRUMS
    return round % (few ? SEARCH_EVERY_FEW : SEARCH_EVERY) !== 0
  }

  /** Searches on, and leaves the bounds as they are. */
  seek(clock: TurnClock): void {
    this.#searchOn(this.turns++, clock)
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
    this.#master?.dispose()
    this.#bound?.dispose()
  }

  #improve(times: number, late: () => boolean): void {
    for (let n = 0; n < times && !late(); n++) this.#search.improve()
    this.#price(late)
  }

  #searchOn(round: number, clock: TurnClock): void {
    const { late, leftMs, timed } = clock
    if (timed && round % WHOLE_EVERY === 1 && this.instance.drums.length > FEW_DRUMS) {
      this.#price(late)
      const whole =
        leftMs() < WHOLE_MARGIN_MS
          ? null
          : this.#masterProgram().solveWhole({ seconds: WHOLE_SECONDS, nodes: Number.POSITIVE_INFINITY })
      if (whole) this.#search.consider(whole)
    }
    // the bound knows better than any search where long pieces belong
    const deal = this.#bound?.takeDeal()
    if (deal) this.#movePieces(clock, this.#search.follow(deal))
    else if (++this.#searched % DRUMS_EVERY === 0) this.#improve(IMPROVES_A_TURN, late)
    else this.#movePieces(clock)
  }

  /** A walk that were broken off while it is still warm would have found nothing yet: it ends only with all time. */
  #movePieces({ leftMs }: TurnClock, from = this.#search.best): void {
    const moves = MOVES_A_TURN + MOVES_A_DRUM * this.instance.drums.length
    if (from) this.#search.consider(this.#moves.run(from, moves, () => leftMs() <= 0))
  }

  /** Prices from the master program, with patterns that they call for, until nothing new comes. */
  #price(late: () => boolean): void {
    const { instance } = this
    const demand = Float64Array.from(instance.items, (i) => i.demand)
    const partsLeft = Float64Array.from(instance.items, (i) => i.split?.maxParts ?? 0)
    // a change of put-up charged in full or by half: over several stretches either may be nearer the truth
    const shares = instance.drums.length <= FEW_DRUMS ? [1, 0.5] : [1]
    const rounds = Math.ceil(PRICED_DRUMS / Math.max(1, instance.drums.length))
    for (let round = 0; round < rounds && !late(); round++) {
      const master = this.#masterProgram()
      const solved = master.solve()
      if (!solved) return
      this.#search.prices = solved.duals.items
      let added = 0
      for (const [d, model] of instance.drums.entries()) {
        const market = { prices: master.pricesFor(d, solved.duals), caps: demand, partsLeft }
        for (const place of model.places.keys())
          for (const share of shares) {
            const found = this.#search.pricer.pattern(model, d, place, market, share)
            if (found && this.#search.remember(found.pattern)) added++
          }
      }
      if (added === 0) return
    }
  }

  /** The master program with every pattern of the pool. */
  #masterProgram(): Master {
    this.#master ??= new Master(this.instance, this.#engine, SERVICE_WEIGHT)
    const pool = [...this.#search.pool.values()]
    for (const pattern of pool.slice(this.#known)) this.#master.addPattern(pattern)
    this.#known = pool.length
    return this.#master
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
    this.#boundMicro = Math.max(this.#boundMicro, Math.min(bound.boundMicro, best.costMicro))
    if (this.instance.drums.length > FEW_DRUMS) bound.rest()
  }
}
