import type { TurnClock } from './bound-tree.ts'
import { type Catalog, catalogOf } from './catalog.ts'
import { composePlan } from './compose.ts'
import { typeInstances } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import type { Plan } from './plan.ts'
import type { PlanInput } from './plan-input.ts'
import { FIRST_TURNS, ROOT_TURN, TypePlanner, type TypeResult } from './type-planner.ts'

/** A type short of its service bound or without a bound is as urgent as one with the first gap; a larger gap than the second is no more so. */
const URGENT_MICRO = 1_000_000_000
const MOST_GAP_MICRO = 300_000_000
/** A turn lasts no less than this, and so long that each type has about so many. */
const LEAST_TURN_MS = 300
const TURNS_EACH = 8
/** The first turn lasts so many times as long: most that the search finds it finds then. */
const FIRST_TURN = 2
/** With many drums every turn does: one long walk finds more than some short ones. */
const LONG_TURN = 3
/** A turn of a type without a bound lasts this much longer: prices that have settled by half give a poor one. */
const UNPROVEN_TURNS = 4
/** After so many turns a type is half as urgent; service and a first bound are waited for longer. */
const PATIENCE = 1
/** And by each turn in vain it is that much less so. */
const TIRED = 0.7
const PATIENCE_URGENT = 40
/** A gap of a cent is none. */
const CLOSED_MICRO = 10_000

/** Results by number of the type. */
export type TypeResults = Map<number, TypeResult>

/**
 * Plans a works type by type, turn by turn, the type first whose plan and bound lie furthest apart. Where several threads share
 * the works, each has its own types, and `adopt` brings in what the others found.
 */
export class PlanSearch {
  readonly #catalog: Catalog
  readonly #seed: number
  readonly #planners: TypePlanner[]
  readonly #own: TypePlanner[]
  readonly #adopted: TypeResults = new Map()

  /** `share`: this thread's number among how many. */
  constructor(
    input: PlanInput,
    engine: LinearProgramEngine,
    seed: number,
    share: { index: number; of: number },
  ) {
    this.#catalog = catalogOf(input)
    this.#seed = seed
    this.#planners = typeInstances(this.#catalog).map(
      (instance, i) => new TypePlanner(this.#catalog, instance, engine, seed * 1009 + i),
    )
    // the largest types are dealt out first, so that every thread has its part of them
    const dealt = [...this.#planners].sort((a, b) => sizeOf(b) - sizeOf(a))
    this.#own = dealt.filter((_, n) => dealOf(n, share.of) === share.index)
  }

  /** Some plan of every type, in no time. */
  atOnce(): void {
    for (const planner of this.#planners) planner.atOnce()
  }

  /** A first plan of each of this thread's own types. */
  first(late: () => boolean): void {
    for (const planner of this.#own) planner.first(late)
  }

  /**
   * One turn for the type that needs it most, of a length that gives every type several. False when every gap of this
   * thread's types is closed.
   */
  turn(clock: TurnClock, nowMs: () => number, secondsInAll: number): boolean {
    let most = CLOSED_MICRO
    let neediest: TypePlanner | null = null
    for (const planner of this.#own) {
      const unproven = !Number.isFinite(planner.boundMicro)
      const urgent = planner.short || unproven
      const urgentMicro = (planner.short ? URGENT_MICRO : 0) + (unproven ? URGENT_MICRO : 0)
      const gap = Math.min(planner.gapMicro, MOST_GAP_MICRO) + urgentMicro
      if (gap <= CLOSED_MICRO && planner.turns >= FIRST_TURNS) continue
      // each type has its first turns; one that has had many for little gain waits a little longer for the next
      const need =
        planner.turns < FIRST_TURNS
          ? Number.MAX_SAFE_INTEGER - planner.turns
          : (gap / (1 + planner.turns / (urgent ? PATIENCE_URGENT : PATIENCE))) *
            (urgent ? 1 : TIRED ** planner.turnsInVain)
      if (need > most) {
        most = need
        neediest = planner
      }
    }
    const endMs = nowMs() + (neediest ? turnMsOf(neediest, (secondsInAll * 1000) / this.#own.length) : 0)
    // a walk that the end of all time broke off would have been for nothing
    const turnLeftMs = () => Math.min(endMs - nowMs(), clock.leftMs())
    neediest?.turn({ ...clock, turnLeftMs, late: () => clock.late() || turnLeftMs() < 0 })
    return neediest !== null
  }

  /** Work that this thread has done on its own types. */
  get work(): number {
    return this.#own.reduce((sum, planner) => sum + planner.work, 0)
  }

  /** Gives every type of this thread a bound where time ran out before its turn came. */
  settle(leftMs: () => number): void {
    for (const planner of this.#own) planner.settle(leftMs)
  }

  results(): TypeResults {
    return new Map(this.#own.map((planner) => [this.#planners.indexOf(planner), planner.result()]))
  }

  adopt(results: TypeResults): void {
    for (const [index, result] of results) this.#adopted.set(index, result)
  }

  /** The best plan so far, checked. */
  plan(stopped: boolean): Plan {
    const standings = this.#planners.map((planner, i) => ({
      instance: planner.instance,
      result: this.#adopted.get(i) ?? planner.result(),
    }))
    return composePlan(this.#catalog, standings, this.#seed, stopped)
  }

  dispose(): void {
    for (const planner of this.#planners) planner.dispose()
  }
}

/** How long a type's next turn lasts, where each has so much time in all. */
function turnMsOf(planner: TypePlanner, eachMs: number): number {
  const shareMs = eachMs / TURNS_EACH
  if (planner.walksSlowly) return Math.max(LEAST_TURN_MS, LONG_TURN * shareMs)
  const unproven = planner.turns >= ROOT_TURN && !Number.isFinite(planner.boundMicro)
  const turns = planner.turns === 0 ? FIRST_TURN : unproven ? UNPROVEN_TURNS : 1
  return turns * Math.max(LEAST_TURN_MS, shareMs)
}

function sizeOf(planner: TypePlanner): number {
  return planner.instance.drums.length * planner.instance.items.length
}

/** Deals to and fro (0 1 1 0 0 1 …), so that no thread has all the larger of each pair. */
function dealOf(n: number, threads: number): number {
  const round = Math.floor(n / threads)
  const place = n % threads
  return round % 2 === 0 ? place : threads - 1 - place
}
