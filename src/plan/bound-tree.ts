import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { type DrumBranch, type Duals, FREE_DRUM, Master, mixed } from './master.ts'
import type { Pattern } from './pattern.ts'
import { type Effort, RelaxedPricer } from './relaxed-pricing.ts'

/** Effort for each drum while prices are looked for, and when a bound is stated: less where there are many. */
function effortsFor(drums: number): { fine: Effort; stated: Effort } {
  const few = drums <= 10
  return few
    ? { fine: { cells: 2048, nodes: 8 }, stated: { cells: 8192, nodes: 24 } }
    : { fine: { cells: 1024, nodes: 1 }, stated: { cells: 4096, nodes: 3 } }
}

/** Effort of a bound for which there is no time. */
const QUICK: Effort = { cells: 400, nodes: 1 }
const MOST_ROUNDS = 80
const MOST_ROUNDS_BELOW = 10
/** A bound this near is as good as reached: half a cent. */
const NEAR_MICRO = 5_000
const WHOLE = 0.02
const SMOOTH = 0.5
/** Prices have settled when program and bound lie this near: five euro. */
const SETTLED_MICRO = 5_000_000
/** Rounding to cells keeps them apart by up to about this for each drum. */
const SETTLED_A_DRUM_MICRO = 700_000

/** How long a turn may last: `late` once it is over, and what is left until the whole work must end. */
export interface TurnClock {
  late: () => boolean
  leftMs: () => number
}

interface Node {
  drums: DrumBranch[]
  boundMicro: MicroEur
  /** Branching from here; null where the node can be split no further. */
  children: DrumBranch[][] | null
}

/**
 * Proven lower bound on the cost of one cable type at a given service. Column generation on the relaxed fillings gives the
 * prices, the prices the bound; then the drums are branched on: mounted or not, and how much stays on them, since the programs'
 * mixtures of a full and an empty drum are what no whole plan can do. The bound is that of the worst open node.
 */
export class BoundTree {
  readonly #instance: TypeInstance
  readonly #pricer: RelaxedPricer
  readonly #master: Master
  readonly #unservedMicro: MicroEur
  readonly #efforts: { fine: Effort; stated: Effort }
  #open: Node[] = []
  /** The best prices known for the root, where it is taken up again. */
  #rootCentre: Duals | null = null

  constructor(
    catalog: Catalog,
    instance: TypeInstance,
    engine: LinearProgramEngine,
    unservedMicro: MicroEur,
    seed: Pattern[],
  ) {
    this.#instance = instance
    this.#pricer = new RelaxedPricer(catalog, instance.items)
    this.#master = new Master(instance, engine, 0)
    this.#unservedMicro = unservedMicro
    this.#efforts = effortsFor(instance.drums.length)
    this.#master.setService(unservedMicro)
    for (const pattern of seed) this.#master.addPattern(pattern)
  }

  get work(): number {
    return this.#pricer.work
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
    if (this.#open.length === 0) {
      const drums = this.#instance.drums.map(() => FREE_DRUM)
      this.#open.push(this.#solve(drums, Number.NEGATIVE_INFINITY, planMicro, MOST_ROUNDS, clock))
      return true
    }
    this.#open.sort((a, b) => a.boundMicro - b.boundMicro)
    const top = this.#open[0]!
    if (top.boundMicro >= planMicro - NEAR_MICRO || !top.children) return false
    const children = top.children.map((drums) =>
      this.#solve(drums, top.boundMicro, planMicro, MOST_ROUNDS_BELOW, clock),
    )
    // a node left half solved for want of time still has a valid bound
    this.#open.splice(0, 1, ...children)
    return true
  }

  /** A bound from the prices of the patterns that were given, where there is no time for better. */
  quick(planMicro: MicroEur): void {
    const drums = this.#instance.drums.map(() => FREE_DRUM)
    const solved = this.#master.solve()
    if (!solved) return
    const found = this.#master.bound(
      this.#pricer,
      solved.duals,
      this.#unservedMicro,
      QUICK,
      drums,
      () => false,
    )
    if (found) this.#open = [{ drums, boundMicro: Math.min(found.boundMicro, planMicro), children: null }]
  }

  /** Gives back what is quickly made again, until the next step. */
  rest(): void {
    this.#pricer.forget()
  }

  dispose(): void {
    this.#master.dispose()
  }

  #solve(
    drums: DrumBranch[],
    aboveMicro: MicroEur,
    planMicro: MicroEur,
    rounds: number,
    { late, leftMs }: TurnClock,
  ): Node {
    // a round is broken off only when all time is over: of a bound that is not finished nothing remains
    const over = () => leftMs() <= 0
    let boundMicro = aboveMicro
    const root = drums.every((d) => d === FREE_DRUM)
    let centre: Duals | null = root ? this.#rootCentre : null
    this.#master.branch(drums)
    let solved = this.#master.solve()
    for (let round = 0; solved && round < rounds; round++) {
      // prices half-way to the best known ones swing less from round to round
      const duals: Duals = centre && root ? mixed(centre, solved.duals, SMOOTH) : solved.duals
      const found = this.#master.bound(
        this.#pricer,
        duals,
        this.#unservedMicro,
        this.#efforts.fine,
        drums,
        over,
      )
      if (!found) break
      if (found.boundMicro > boundMicro || !centre) centre = duals
      if (root) this.#rootCentre = centre
      boundMicro = Math.max(boundMicro, found.boundMicro)
      if (boundMicro >= planMicro || solved.objectiveMicro - boundMicro < NEAR_MICRO) break
      for (const { drum, set, filling, prices } of found.priced)
        this.#master.addFilling(drum, set, filling, prices)
      if (late()) break
      const before: number = solved.objectiveMicro
      solved = this.#master.solve()
      if (solved && found.priced.length === 0 && Math.abs(before - solved.objectiveMicro) < 1) break
    }
    if (!solved) return { drums, boundMicro, children: null }
    if (boundMicro < planMicro && centre) {
      const stated = this.#master.bound(
        this.#pricer,
        centre,
        this.#unservedMicro,
        this.#efforts.stated,
        drums,
        over,
      )
      boundMicro = Math.max(boundMicro, stated?.boundMicro ?? boundMicro)
    }
    if (boundMicro >= planMicro) return { drums, boundMicro, children: null }
    // prices that have not settled yet say little about where to split: the node is taken up again
    const settled = solved.objectiveMicro - boundMicro < SETTLED_MICRO + drums.length * SETTLED_A_DRUM_MICRO
    const children = settled ? this.#split(drums, solved.values) : null
    return { drums, boundMicro, children: children ?? (settled ? null : [drums]) }
  }

  /** Splits on the drum whose mixture is furthest from anything whole. */
  #split(drums: DrumBranch[], values: Float64Array): DrumBranch[][] | null {
    let most = 0.5e6
    let children: DrumBranch[][] | null = null
    for (const d of this.#instance.drums.keys()) {
      const mixture = this.#mixtureOf(d, values)
      if (drums[d]!.mounted === false || mixture.used < 1e-6) continue
      const split = splitOf(this.#instance.drums[d]!, drums[d]!, mixture)
      if (!split || split.leakMicro <= most) continue
      most = split.leakMicro
      children = split.branches.map((branch) => drums.map((b, i) => (i === d ? branch : b)))
    }
    return children
  }

  #mixtureOf(d: number, values: Float64Array): Mixture {
    const model = this.#instance.drums[d]!
    const mixture = { used: 0, restUm: 0, woundOff: 0, restWorthMicro: 0 }
    for (const [c, column] of this.#master.columns.entries()) {
      const x = values[c] ?? 0 // columns added since have no value yet
      if (column.drum !== d || x <= 1e-9) continue
      mixture.used += x
      mixture.restUm += x * column.restUm
      mixture.woundOff += column.woundOff ? x : 0
      mixture.restWorthMicro += x * worthOfRest(model, column.restUm)
    }
    return mixture
  }
}

/** How one drum is used in a mixture of patterns: sums over the patterns, each by its share. */
interface Mixture {
  used: number
  restUm: number
  woundOff: number
  restWorthMicro: number
}

/** A wind-off is work worth about this: only to weigh one branching against another. */
const WIND_OFF_MICRO = 20_000_000

/** How to branch on a drum, and what the mixture saves that no whole plan could. */
function splitOf(
  model: DrumModel,
  branch: DrumBranch,
  mixture: Mixture,
): { leakMicro: number; branches: DrumBranch[] } | null {
  const { used, restUm, woundOff, restWorthMicro } = mixture
  if (branch.mounted === null && used < 1 - WHOLE) {
    // a share of a mounting saved, and a share of the drum kept whole
    const mount = Math.min(...model.places.map((p) => p.mountMicro))
    const wholeRest = restUm + (1 - used) * model.usable.good.toUm
    const kept = restWorthMicro + (1 - used) * model.valueBeforeMicro - worthOfRest(model, wholeRest)
    return {
      leakMicro: (1 - used) * mount + kept,
      branches: [
        { ...branch, mounted: true },
        { ...branch, mounted: false },
      ],
    }
  }
  const share = woundOff / used
  if (branch.woundOff === null && share > WHOLE && share < 1 - WHOLE)
    return {
      leakMicro: Math.min(share, 1 - share) * WIND_OFF_MICRO,
      branches: [
        { ...branch, woundOff: true },
        { ...branch, woundOff: false },
      ],
    }
  const meanUm = Math.round(restUm / used)
  if (meanUm <= branch.range.leastUm || meanUm >= branch.range.mostUm) return null
  return {
    leakMicro: restWorthMicro / used - worthOfRest(model, meanUm),
    branches: [
      { ...branch, range: { leastUm: branch.range.leastUm, mostUm: meanUm } },
      { ...branch, range: { leastUm: meanUm + 1, mostUm: branch.range.mostUm } },
    ],
  }
}

function worthOfRest(model: DrumModel, restUm: number): MicroEur {
  return model.keptFromMicro(Math.round(model.usable.good.toUm - restUm))
}
