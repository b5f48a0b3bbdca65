import type { MicroEur } from '../quantity/money.ts'
import { BoundTree, type TurnClock } from './bound-tree.ts'
import type { Catalog } from './catalog.ts'
import { hasFewDrums, type TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { LongBound } from './long-bound.ts'
import type { Deal } from './long-branch.ts'
import { LongPieces } from './long-pieces.ts'
import type { Pattern } from './pattern.ts'
import { MOST_PUTUPS } from './putup-bits.ts'

/** Share of what is left to prove that is hardly a gain: then another way is tried. */
const HARDLY = 0.03
/** Choices of long pieces that length is counted in. */
const MOST_CODES = 2_000
/** Steps of one turn, where no clock ends it. */
const MOST_STEPS = 50
/** Giving out long pieces whole rises slowly at first. */
const LONG_TRIALS = 3
/** From this share of the length on, giving out the long pieces whole is the quicker way from the start. A tuned figure. */
const MOSTLY = 0.55

/** One way to a bound, and how it does. */
interface Way {
  boundMicro: () => MicroEur
  step: (costMicro: MicroEur, clock: TurnClock) => boolean
  turns: number
  /** Turns that it has before the other is tried. */
  trials: number
  /** What its last turn gained. */
  gainMicro: MicroEur
  done: boolean
}

/**
 * Proven lower bound on the cost of one cable type at one service. The tree makes the first; after that it takes turns with the
 * bound that gives long pieces out whole, where drums are few, and the one goes on that promises most.
 */
export class TypeBound {
  readonly unservedMicro: MicroEur
  /** Whether the way last gone has risen, be it below what is proven already: it may soon come above. */
  rising = false
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  readonly #engine: LinearProgramEngine
  readonly #tree: BoundTree
  #long: LongBound | null = null
  readonly #ways: Way[]

  constructor(
    catalog: Catalog,
    instance: TypeInstance,
    engine: LinearProgramEngine,
    unservedMicro: MicroEur,
    seed: Pattern[],
  ) {
    this.#catalog = catalog
    this.#instance = instance
    this.#engine = engine
    this.unservedMicro = unservedMicro
    const tree = new BoundTree(catalog, instance, engine, unservedMicro, seed)
    this.#tree = tree
    const fresh = { turns: 0, trials: 1, gainMicro: 0, done: false }
    this.#ways = this.#inOrder(
      { ...fresh, boundMicro: () => tree.boundMicro, step: (micro, clock) => tree.step(micro, clock) },
      {
        ...fresh,
        boundMicro: () => this.#long?.boundMicro ?? Number.NEGATIVE_INFINITY,
        step: (micro, clock) => this.#stepLong(micro, clock),
        trials: LONG_TRIALS,
      },
    )
  }

  get work(): number {
    return this.#tree.work + (this.#long?.work ?? 0)
  }

  /** −Infinity before the first turn. */
  get boundMicro(): MicroEur {
    return Math.max(this.#tree.boundMicro, this.#long?.boundMicro ?? Number.NEGATIVE_INFINITY)
  }

  /** Goes on until the turn is late, or no further than a first bound. False once nothing can better the bound. */
  turn(costMicro: MicroEur, once: boolean, clock: TurnClock): boolean {
    const way = this.#likeliest(costMicro)
    if (!way) return false
    const before = way.boundMicro()
    let steps = 0
    do way.done = !way.step(costMicro, clock)
    while (!once && !way.done && !clock.late() && ++steps < MOST_STEPS)
    // broken off is not done
    if (clock.leftMs() <= 0) way.done = false
    if (!once) way.turns++
    way.gainMicro = way.boundMicro() - before
    this.rising = way.boundMicro() > before || !Number.isFinite(before)
    return this.boundMicro < costMicro && this.#likeliest(costMicro) !== null
  }

  /** A first bound, however little time there is. */
  quick(costMicro: MicroEur, leftMs: () => number): void {
    this.#tree.quick(costMicro, leftMs)
  }

  /** Who got which pieces when they were dealt out, once each, the latest first; null where there is no more. */
  takeDeal(): Deal | null {
    return this.#long?.takeDeal() ?? null
  }

  /** Gives back what is quickly made again, until the next turn. */
  rest(): void {
    this.#tree.rest()
  }

  dispose(): void {
    this.#tree.dispose()
  }

  #stepLong(costMicro: MicroEur, clock: TurnClock): boolean {
    const { prices } = this.#tree
    // there is nothing to begin with before the tree's first step
    if (!prices) return this.#tree.step(costMicro, clock)
    this.#long ??= new LongBound(this.#catalog, this.#instance, this.#engine, this.unservedMicro, prices)
    return this.#long.step(costMicro, () => clock.leftMs() <= 0)
  }

  /** The first bound is the tree's; then each way has its trials, and then whoever would be furthest, were its next turn like its last. */
  #likeliest(costMicro: MicroEur): Way | null {
    const open = this.#ways.filter((w) => !w.done)
    const promise = (w: Way) => w.boundMicro() + w.gainMicro
    const best = open.filter((w) => w.turns > 0).sort((a, b) => promise(b) - promise(a))[0]
    const untried = open.find((w) => w.turns === 0) ?? null
    if (!best || !untried) return best ?? untried
    const gains = best.gainMicro > HARDLY * (costMicro - this.boundMicro)
    return best.turns < best.trials || gains ? best : untried
  }

  /** The tree first, unless most of the length is in pieces that are given out whole. */
  #inOrder(tree: Way, long: Way): Way[] {
    if (!this.#fewEnough()) return [tree]
    const { holds } = new LongPieces(this.#instance, MOST_CODES)
    let allUm = 0
    let longUm = 0
    for (const { index, cutUm, demand } of this.#instance.items) {
      allUm += cutUm * demand
      if (holds[index]) longUm += cutUm * demand
    }
    return longUm < MOSTLY * allUm ? [tree, long] : [long, tree]
  }

  /** With many drums giving out long pieces whole would take far longer than it is worth. */
  #fewEnough(): boolean {
    const putups = this.#instance.items.flatMap((i) => i.options.map((o) => o.group))
    return hasFewDrums(this.#instance) && putups.every((p) => p < MOST_PUTUPS)
  }
}
