import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { type DrumBranch, type Duals, FREE_DRUM, Master, mixed } from './master.ts'
import type { Pattern } from './pattern.ts'
import { RelaxedPricer } from './relaxed-pricing.ts'

/** Cells of the grid while prices are looked for, and when a bound is finally stated. */
const ROUND_CELLS = 2048
const BOUND_CELLS = 16_384
const MOST_ROUNDS = 40
const MOST_ROUNDS_BELOW = 10
/** A bound this near is as good as reached: half a cent. */
const NEAR_MICRO = 5_000
const WHOLE = 0.02
const SMOOTH = 0.5
/** Prices have settled when program and bound lie this near: five euro. */
const SETTLED_MICRO = 5_000_000

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
  #open: Node[] = []

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

  /** Prices of the items at the root, for the search. */
  rootPrices: Float64Array | null = null

  /** Solves one node more. False when nothing can better the bound, or it has reached the cost of a plan. */
  step(planMicro: MicroEur, late: () => boolean): boolean {
    if (this.#open.length === 0) {
      const drums = this.#instance.drums.map(() => FREE_DRUM)
      this.#open.push(this.#solve(drums, Number.NEGATIVE_INFINITY, planMicro, MOST_ROUNDS, late))
      return true
    }
    this.#open.sort((a, b) => a.boundMicro - b.boundMicro)
    const top = this.#open[0]!
    if (top.boundMicro >= planMicro - NEAR_MICRO || !top.children) return false
    const children = top.children.map((drums) =>
      this.#solve(drums, top.boundMicro, planMicro, MOST_ROUNDS_BELOW, late),
    )
    // a node left half solved for want of time still has a valid bound
    this.#open.splice(0, 1, ...children)
    return true
  }

  dispose(): void {
    this.#master.dispose()
  }

  #solve(
    drums: DrumBranch[],
    aboveMicro: MicroEur,
    planMicro: MicroEur,
    rounds: number,
    late: () => boolean,
  ): Node {
    let boundMicro = aboveMicro
    let centre: Duals | null = null
    const root = aboveMicro === Number.NEGATIVE_INFINITY
    this.#master.branch(drums)
    let solved = this.#master.solve()
    for (let round = 0; solved && round < rounds; round++) {
      // prices half-way to the best known ones swing less from round to round
      const duals: Duals = centre && root ? mixed(centre, solved.duals, SMOOTH) : solved.duals
      const found = this.#master.bound(this.#pricer, duals, this.#unservedMicro, ROUND_CELLS, drums)
      if (found.boundMicro > boundMicro || !centre) centre = duals
      boundMicro = Math.max(boundMicro, found.boundMicro)
      if (boundMicro >= planMicro || solved.objectiveMicro - boundMicro < NEAR_MICRO || late()) break
      for (const { drum, set, filling, prices } of found.priced)
        this.#master.addFilling(drum, set, filling, prices)
      const before: number = solved.objectiveMicro
      solved = this.#master.solve()
      if (solved && found.priced.length === 0 && Math.abs(before - solved.objectiveMicro) < 1) break
    }
    if (!solved) return { drums, boundMicro, children: null }
    this.rootPrices ??= solved.duals.items
    if (boundMicro < planMicro && !late() && centre)
      boundMicro = Math.max(
        boundMicro,
        this.#master.bound(this.#pricer, centre, this.#unservedMicro, BOUND_CELLS, drums).boundMicro,
      )
    if (boundMicro >= planMicro) return { drums, boundMicro, children: null }
    // prices that have not settled yet say little about where to split: the node is taken up again
    const settled = solved.objectiveMicro - boundMicro < SETTLED_MICRO
    const children = settled || root ? this.#split(drums, solved.values) : null
    return { drums, boundMicro, children: children ?? (settled ? null : [drums]) }
  }

  /** Splits on the drum whose mixture is furthest from anything whole. */
  #split(drums: DrumBranch[], values: Float64Array): DrumBranch[][] | null {
    let most = 0.5e6
    let children: DrumBranch[][] | null = null
    const replaced = (d: number, branch: DrumBranch) => drums.map((b, i) => (i === d ? branch : b))
    for (const [d, model] of this.#instance.drums.entries()) {
      const branch = drums[d]!
      if (branch.mounted === false) continue
      let used = 0
      let rest = 0
      let mixedWorth = 0
      for (const [c, column] of this.#master.columns.entries()) {
        const x = values[c]!
        if (column.drum !== d || x <= 1e-9) continue
        used += x
        rest += x * column.restUm
        mixedWorth += x * worthOfRest(model, column.restUm)
      }
      if (used < 1e-6) continue
      const least = Math.min(...model.places.map((p) => p.mountMicro))
      if (branch.mounted === null && used < 1 - WHOLE) {
        // a share of a mounting saved, and a share of the drum kept whole
        const wholeRest = rest + (1 - used) * model.usable.good.toUm
        const leak =
          (1 - used) * least +
          mixedWorth +
          (1 - used) * model.valueBeforeMicro -
          worthOfRest(model, wholeRest)
        if (leak > most) {
          most = leak
          children = [
            replaced(d, { mounted: true, range: branch.range }),
            replaced(d, { mounted: false, range: branch.range }),
          ]
        }
        continue
      }
      const mean = Math.round(rest / used)
      const leak = mixedWorth / used - worthOfRest(model, mean)
      if (leak <= most || mean <= branch.range.leastUm || mean >= branch.range.mostUm) continue
      most = leak
      children = [
        replaced(d, { mounted: branch.mounted, range: { leastUm: branch.range.leastUm, mostUm: mean } }),
        replaced(d, { mounted: branch.mounted, range: { leastUm: mean + 1, mostUm: branch.range.mostUm } }),
      ]
    }
    return children
  }
}

function worthOfRest(model: DrumModel, restUm: number): MicroEur {
  return model.keptFromMicro(Math.round(model.usable.good.toUm - restUm))
}
