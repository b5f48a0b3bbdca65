import type { LengthUm } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import { type Branching, freeBranching } from './branching.ts'
import type { Catalog } from './catalog.ts'
import { countPrices } from './count-prices.ts'
import type { Duals } from './duals.ts'
import { hasFewDrums, type TypeInstance } from './instance.ts'
import { leastTakenUm, withLeastTaken } from './least-taken.ts'
import { likelyPrices } from './likely-prices.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { AS_MUCH_MICRO, Master } from './master.ts'
import type { Pattern } from './pattern.ts'
import { type Effort, RelaxedPricer } from './relaxed-pricing.ts'
import { settled } from './settled-prices.ts'
import { splitsOf } from './split.ts'

const NONE = Number.NEGATIVE_INFINITY

/**
 * Efforts for one drum, each finer than the one before: less where there are many drums. The first gives a bound soon and prices
 * to go on with; nothing is split before the second. A node that can be split no further is looked at more finely.
 */
function effortsFor(instance: TypeInstance): Effort[] {
  return hasFewDrums(instance)
    ? [
        { cells: 400, nodes: 1 },
        { cells: 2048, nodes: 8 },
        { cells: 8192, nodes: 40 },
        { cells: 16384, nodes: 160 },
      ]
    : [
        { cells: 2048, nodes: 1 },
        { cells: 8192, nodes: 1 },
        { cells: 16384, nodes: 3 },
      ]
}

/** Effort of a first bound from prices that are not good. */
const QUICK: Effort = { cells: 400, nodes: 1 }
const MOST_ROUNDS = 80
const MOST_ROUNDS_BELOW = 25
/** A bound this near is as good as reached: half a cent. */
const NEAR_MICRO = 5_000
/** Ways to split a node that are tried. */
const PROBED = 4
/** Prices further apart than this, for each drum, say little about where to split. */
const WILD_A_DRUM_MICRO = 1_500_000

/** How long a turn may last: `late` once it is over, and what is left until the whole work must end. */
export interface TurnClock {
  late: () => boolean
  leftMs: () => number
  /** What is left of a turn that is of a set length; Infinity of any other. */
  turnLeftMs: () => number
  /** Whether it goes by the time of day; where it goes by work done, the result must not hang on how fast the machine is. */
  timed: boolean
}

type Solved = NonNullable<ReturnType<Master['solve']>>

interface Node {
  branching: Branching
  boundMicro: MicroEur
  /** The best prices known for it; those of the node above are near. */
  centre: Duals | null
  /** Number of the effort it is solved with. */
  level: number
  /** Branching from here; null where the node can be split no further. */
  children: Pick<Node, 'branching' | 'level'>[] | null
}

/**
 * Proven lower bound on the cost of one cable type at a given service. Column generation on the relaxed fillings gives the
 * prices, the prices the bound; then the drums are branched on: mounted or not, and how much stays on them, since the programs'
 * mixtures of a full and an empty drum are what no whole plan can do. The bound is that of the worst open node.
 */
export class BoundTree {
  readonly #catalog: Catalog
  readonly #instance: TypeInstance
  readonly #engine: LinearProgramEngine
  readonly #pricer: RelaxedPricer
  readonly #master: Master
  readonly #seed: Pattern[]
  readonly #unservedMicro: MicroEur
  readonly #leastUm: LengthUm
  readonly #efforts: Effort[]
  /** Of the prices that settled on a coarse grid; null before that. */
  #guesser: RelaxedPricer | null = null
  #open: Node[] = []

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
    this.#pricer = new RelaxedPricer(catalog, instance.items)
    this.#seed = seed
    this.#unservedMicro = unservedMicro
    this.#leastUm = leastTakenUm(instance.items, unservedMicro + AS_MUCH_MICRO)
    this.#efforts = effortsFor(instance)
    this.#master = this.#newMaster()
  }

  #newMaster(): Master {
    const master = new Master(this.#instance, this.#engine)
    master.setService(this.#unservedMicro)
    for (const pattern of this.#seed) master.addPattern(pattern)
    return master
  }

  get work(): number {
    return this.#pricer.work + (this.#guesser?.work ?? 0)
  }

  /** The best prices known of its worst node; null before the first step. */
  get prices(): Duals | null {
    return this.#open[0]?.centre ?? null
  }

  /** −Infinity before the first step. */
  get boundMicro(): MicroEur {
    return this.#open.reduce(
      (least, n) => Math.min(least, n.boundMicro),
      this.#open.length > 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY,
    )
  }

  /** Solves one node more. False when nothing can better the bound, or it has reached the cost of a plan. */
  step(planMicro: MicroEur, clock: TurnClock): boolean {
    const over = () => clock.leftMs() <= 0
    if (this.#open.length === 0) {
      this.#open.push(this.#root(planMicro, true, over))
      return true
    }
    this.#open.sort((a, b) => a.boundMicro - b.boundMicro)
    const top = this.#open[0]!
    if (top.boundMicro >= planMicro - NEAR_MICRO || !top.children) return false
    if (!this.#guesser && top.centre && !hasFewDrums(this.#instance)) {
      this.#guess(top, top.centre, planMicro, over)
      return true
    }
    const rounds = top.children.length === 1 ? MOST_ROUNDS : MOST_ROUNDS_BELOW
    const children = top.children.map((child) => this.#solve({ ...top, ...child }, planMicro, rounds, clock))
    // a node left half solved for want of time still has a valid bound
    this.#open.splice(0, 1, ...children)
    return true
  }

  /** A first bound, however little time there is. */
  quick(planMicro: MicroEur, leftMs: () => number): void {
    this.#open = [this.#root(planMicro, leftMs() > 0, () => false)]
  }

  /** The bound that the prices of the program of counts prove; where there are none, those of the patterns that were given. */
  #root(planMicro: MicroEur, counting: boolean, over: () => boolean): Node {
    const counted = counting
      ? countPrices(this.#catalog, this.#instance, this.#engine, this.#unservedMicro)
      : null
    const duals = counted ?? this.#master.solve()?.duals ?? null
    const boundMicro = duals ? this.#proven(duals, counted ? this.#efforts[0]! : QUICK, over) : NONE
    const branching = freeBranching(this.#instance.drums.length)
    return {
      branching,
      boundMicro: Math.min(boundMicro, planMicro),
      centre: Number.isFinite(boundMicro) ? duals : null,
      level: 0,
      children: [{ branching, level: counted ? 1 : 0 }],
    }
  }

  /** Betters the root once, where there are so many drums that prices would else take long to settle. */
  #guess(root: Node, begun: Duals, planMicro: MicroEur, over: () => boolean): void {
    this.#guesser = new RelaxedPricer(this.#catalog, this.#instance.items, true)
    // winding off is hardly ever worth it, and a guess need not know when
    const branching = this.#unsplit
    const drums = branching.drums.map((drum) => ({ ...drum, woundOff: false }))
    const asking = { branching: { ...branching, drums }, unservedMicro: this.#unservedMicro }
    const master = this.#newMaster()
    const duals = likelyPrices(master, this.#guesser, begun, asking, over)
    master.dispose()
    this.#guesser.forget()
    const boundMicro = duals ? Math.min(planMicro, this.#proven(duals, this.#efforts[1]!, over)) : NONE
    if (boundMicro > root.boundMicro) Object.assign(root, { boundMicro, centre: duals })
  }

  /** What prices prove before anything is split; −Infinity where time ran out. */
  #proven(duals: Duals, effort: Effort, over: () => boolean): MicroEur {
    const found = this.#master.bound(this.#pricer, duals, this.#unservedMicro, effort, this.#unsplit, over)
    return found?.boundMicro ?? NONE
  }

  get #unsplit(): Branching {
    const free = freeBranching(this.#instance.drums.length)
    return withLeastTaken(this.#instance, free, this.#leastUm) ?? free
  }

  /** Gives back what is quickly made again, until the next step. */
  rest(): void {
    this.#pricer.forget()
  }

  dispose(): void {
    this.#master.dispose()
  }

  /** Prices by column generation, from the best known ones, and the bound that they prove. */
  #solve(asked: Node, planMicro: MicroEur, rounds: number, { late, leftMs }: TurnClock): Node {
    const branching = withLeastTaken(this.#instance, asked.branching, this.#leastUm)
    // no plan of this service does what is asked, so none costs less than any figure
    if (!branching) return { ...asked, boundMicro: Number.POSITIVE_INFINITY, children: null }
    const node = { ...asked, branching }
    const { level } = node
    const effort = this.#efforts[level]!
    // a round is broken off only when all time is over: of a bound that is not finished nothing remains
    const over = () => leftMs() <= 0
    const asking = {
      branching,
      unservedMicro: this.#unservedMicro,
      effort,
      level,
      rounds,
      enoughMicro: planMicro - NEAR_MICRO,
    }
    const { boundMicro, centre, solved, end } = settled(this.#master, this.#pricer, node, asking, {
      over,
      late,
    })
    const found = { ...node, boundMicro, centre }
    if (end === 'enough') return { ...found, children: null }
    // a turn is over: the node is taken up again in the next
    if (end === 'late') return { ...found, children: [{ branching, level }] }
    return { ...found, children: solved && this.#childrenOf(node, solved, boundMicro) }
  }

  #childrenOf(node: Node, solved: Solved, boundMicro: MicroEur): Node['children'] {
    const { branching, level } = node
    // prices that have not settled yet say little about where to split: the node is taken up again
    if (level > 0 && solved.objectiveMicro - boundMicro > WILD_A_DRUM_MICRO * this.#instance.drums.length)
      return [{ branching, level }]
    const split = level === 0 ? null : this.#split(branching, level, solved)
    if (split) return split.map((b) => ({ branching: b, level }))
    return level + 1 < this.#efforts.length ? [{ branching, level: level + 1 }] : null
  }

  /** Splits where the programs of the two halves rise most, as far as the patterns known so far tell. */
  #split(branching: Branching, level: number, solved: Solved): Branching[] | null {
    const splits = splitsOf(this.#instance, branching, this.#master.columns, solved.values, solved.lots)
    let most = Number.NEGATIVE_INFINITY
    let best: Branching[] | null = null
    for (const { branches, leakMicro } of splits.slice(0, PROBED)) {
      const rises = branches.map((asked) => {
        const b = withLeastTaken(this.#instance, asked, this.#leastUm)
        if (!b) return Number.POSITIVE_INFINITY
        this.#master.branch(b, level)
        return (this.#master.solve()?.objectiveMicro ?? Number.POSITIVE_INFINITY) - solved.objectiveMicro
      })
      const score = scoreOf(Math.min(...rises), Math.max(...rises)) + leakMicro * 1e-3
      if (score <= most) continue
      most = score
      best = branches
    }
    return best
  }
}

function scoreOf(lower: number, upper: number): number {
  return 0.8 * lower + 0.2 * Math.min(upper, 50e6)
}
