import type { MicroEur } from '../quantity/money.ts'
import { assemble, type Chosen } from './assemble.ts'
import { BoundTree } from './bound-tree.ts'
import { type Catalog, catalogOf } from './catalog.ts'
import { type TypeInstance, typeInstances } from './instance.ts'
import type { LinearProgramEngine } from './linear-program.ts'
import { Master } from './master.ts'
import type { Plan } from './plan.ts'
import type { PlanInput } from './plan-input.ts'
import { seededRandom } from './random.ts'
import { unservedOf } from './reasons.ts'
import { plainServiceBound, shortStockBound } from './service-bound.ts'
import { TypeSearch } from './type-search.ts'
import { solutionOf } from './type-solution.ts'
import { verifyPlan } from './verify.ts'

/** One cable type on its way: its search, its master program, its bounds. */
interface TypeState {
  instance: TypeInstance
  search: TypeSearch
  master: Master | null
  /** Patterns that the master program knows. */
  known: number
  serviceBoundMicro: MicroEur
  tree: BoundTree | null
  /** Cost bound, valid at the service that the tree was built for. */
  boundMicro: MicroEur
  treeServiceMicro: MicroEur
  treeDone: boolean
  turns: number
}

const FIRST_FACTORS = [1, 1.1, 1.3, 2, 4]
const IMPROVES_A_TURN = 25
const MASTER_ROUNDS = 12
const WHOLE_SECONDS = 1.5
const FIRST_TURNS = 3
/** Service comes first: a euro unserved weighs more than any saving that leaving it unserved could bring. */
const SERVICE_WEIGHT = 200
/** A type short of its service bound is as urgent as one with this gap. */
const SHORT_MICRO = 100_000_000

/**
 * Plans a works type by type: a first plan by filling drums at guessed prices, then turns, each for the type whose plan and
 * bound lie furthest apart: better prices from the master program, better plans from search, a better bound from branching.
 * The caller owns the clock and decides when it is late.
 */
export class PlanSearch {
  readonly #catalog: Catalog
  readonly #engine: LinearProgramEngine
  readonly #seed: number
  readonly #states: TypeState[]

  constructor(input: PlanInput, engine: LinearProgramEngine, seed: number) {
    this.#catalog = catalogOf(input)
    this.#engine = engine
    this.#seed = seed
    this.#states = typeInstances(this.#catalog).map((instance, i) => ({
      instance,
      search: new TypeSearch(this.#catalog, instance, seededRandom(seed * 1009 + i)),
      master: null,
      known: 0,
      serviceBoundMicro: plainServiceBound(instance),
      tree: null,
      boundMicro: Number.NEGATIVE_INFINITY,
      treeServiceMicro: -1,
      treeDone: false,
      turns: 0,
    }))
  }

  /** A first plan of every type. */
  first(): void {
    for (const { search } of this.#states) search.construct(FIRST_FACTORS[0]!)
  }

  /** One turn for the type that gains most from it. False when every gap is closed. */
  turn(late: () => boolean): boolean {
    const state = this.#neediest()
    if (!state) return false
    const round = state.turns++
    if (round === 0) {
      for (const factor of FIRST_FACTORS.slice(1)) if (!late()) state.search.construct(factor)
    } else if (round % 2 === 1) this.#improve(state, late)
    else this.#bound(state, late)
    return true
  }

  /** Gives every type a bound, however weak, when time ran out before its turn came. */
  settle(): void {
    for (const s of this.#states)
      if (s.search.best && this.#boundOf(s) === Number.NEGATIVE_INFINITY) {
        s.boundMicro = quickBound(s, this.#catalog, this.#engine)
        s.treeServiceMicro = s.search.best.unservedMicro
      }
  }

  /** Whether every type has a bound already. */
  get bounded(): boolean {
    return this.#states.every((s) => this.#boundOf(s) > Number.NEGATIVE_INFINITY)
  }

  get work(): number {
    return this.#states.reduce((sum, s) => sum + s.search.pricer.work + (s.tree?.work ?? 0), 0)
  }

  /** Sum of plan costs: cheap to ask, for telling whether something got better. */
  get standing(): string {
    return this.#states
      .map((s) => `${s.search.best?.unservedMicro}/${s.search.best?.costMicro}/${this.#boundOf(s)}`)
      .join(' ')
  }

  /** The best plan so far, checked. */
  plan(stopped: boolean): Plan {
    const { input } = this.#catalog
    const chosen: Chosen[] = this.#states.map(({ instance, search }) => ({
      instance,
      solution: search.best ?? solutionOf(instance, []),
    }))
    const mountings = assemble(this.#catalog, chosen)
    const unserved = unservedOf(
      this.#catalog,
      this.#states.map((s) => s.instance),
      mountings,
    )
    const verdict = verifyPlan(input, { mountings, unserved })
    if (verdict.broken.length > 0) {
      const first = verdict.broken[0]!
      throw new Error(`the plan breaks a rule (${first.rule}, ${first.where}): ${first.why}`)
    }
    return {
      works: input.folder,
      seed: this.#seed,
      work: this.work,
      mountings,
      unserved,
      unservedMicro: verdict.unservedMicro,
      costMicro: verdict.costMicro,
      costItems: verdict.costItems,
      deliveredMicro: verdict.deliveredMicro,
      bound: this.#planBound(verdict.unservedMicro, verdict.costMicro),
      byCable: chosen.map(({ instance, solution }, i) => {
        const credit = instance.items.reduce((sum, item) => sum + item.creditMicro * item.demand, 0)
        const boundMicro = this.#boundOf(this.#states[i]!)
        return {
          cable: instance.cable.cable,
          costMicro: solution.costMicro - credit,
          boundMicro: Math.min(boundMicro, solution.costMicro) - credit,
          deliveredMicro: instance.items.reduce(
            (sum, item) =>
              sum + item.creditMicro * (item.demand - Math.ceil(solution.missing[item.index]! - 1e-7)),
            0,
          ),
        }
      }),
      stopped,
    }
  }

  dispose(): void {
    for (const s of this.#states) {
      s.master?.dispose()
      s.tree?.dispose()
    }
  }

  #planBound(unservedMicro: MicroEur, costMicro: MicroEur): Plan['bound'] {
    let service = 0
    let cost = 0
    for (const s of this.#states) {
      service += s.serviceBoundMicro
      cost +=
        this.#boundOf(s) - s.instance.items.reduce((sum, item) => sum + item.creditMicro * item.demand, 0)
    }
    // each type pays for a change of cable on each line it uses; the first cable on a line is no change
    const fixed = new Map<string, MicroEur>()
    for (const s of this.#states) for (const [line, micro] of s.instance.lineFixed) fixed.set(line, micro)
    for (const micro of fixed.values()) cost -= micro
    return { unservedMicro: Math.min(service, unservedMicro), costMicro: Math.min(cost, costMicro) }
  }

  /** The cost bound counts only for the service it was proven at. */
  #boundOf(state: TypeState): MicroEur {
    return state.treeServiceMicro === state.search.best?.unservedMicro
      ? state.boundMicro
      : Number.NEGATIVE_INFINITY
  }

  /** Each type has its first turns; then the type whose plan and bound lie furthest apart, those with many turns a little later. */
  #neediest(): TypeState | null {
    let most = 10_000
    let neediest: TypeState | null = null
    for (const s of this.#states) {
      const best = s.search.best
      if (!best || best.patterns.length + s.instance.drums.length === 0) continue
      const short = best.unservedMicro > s.serviceBoundMicro ? SHORT_MICRO : 0
      const gap = Math.min(best.costMicro - this.#boundOf(s), SHORT_MICRO)
      const need =
        s.turns < FIRST_TURNS ? Number.MAX_SAFE_INTEGER - s.turns : (short + gap) / (1 + s.turns / 8)
      if (need > most) {
        most = need
        neediest = s
      }
    }
    return neediest
  }

  #improve(state: TypeState, late: () => boolean): void {
    const { search } = state
    for (let n = 0; n < IMPROVES_A_TURN && !late(); n++) search.improve()
    const master = this.#masterOf(state)
    for (let round = 0; round < MASTER_ROUNDS && !late(); round++) {
      const solved = master.solve()
      if (!solved) break
      search.prices = solved.duals.items
      let added = 0
      for (const [d, model] of state.instance.drums.entries()) {
        const market = {
          prices: master.pricesFor(d, solved.duals),
          caps: Float64Array.from(state.instance.items, (i) => i.demand),
          partsLeft: Float64Array.from(state.instance.items, (i) => i.split?.maxParts ?? 0),
        }
        for (const place of model.places.keys())
          for (const share of [1, 0.5]) {
            const found = search.pricer.pattern(model, d, place, market, share)
            if (found && search.remember(found.pattern)) added++
          }
      }
      this.#masterOf(state)
      if (added === 0) break
    }
    if (late()) return
    const whole = master.solveWhole(WHOLE_SECONDS)
    if (whole) search.consider(whole)
  }

  /** The master program with every pattern of the pool. */
  #masterOf(state: TypeState): Master {
    state.master ??= new Master(state.instance, this.#engine, SERVICE_WEIGHT)
    const pool = [...state.search.pool.values()]
    for (const pattern of pool.slice(state.known)) state.master.addPattern(pattern)
    state.known = pool.length
    return state.master
  }

  #bound(state: TypeState, late: () => boolean): void {
    const best = state.search.best
    if (!best) return
    if (best.unservedMicro > state.serviceBoundMicro && state.turns > 2)
      state.serviceBoundMicro = Math.max(
        state.serviceBoundMicro,
        shortStockBound(state.instance, this.#engine, late),
      )
    if (state.treeServiceMicro !== best.unservedMicro) {
      state.tree?.dispose()
      state.tree = new BoundTree(
        this.#catalog,
        state.instance,
        this.#engine,
        best.unservedMicro,
        best.patterns,
      )
      state.treeServiceMicro = best.unservedMicro
      state.boundMicro = Number.NEGATIVE_INFINITY
    }
    for (let n = 0; n < 3 && !late(); n++) if (!state.tree!.step(best.costMicro, late)) break
    state.boundMicro = Math.max(state.boundMicro, Math.min(state.tree!.boundMicro, best.costMicro))
    if (state.tree!.rootPrices && state.turns < 4) state.search.prices = state.tree!.rootPrices
  }
}

/** The bound of one round at the prices at hand. */
function quickBound(state: TypeState, catalog: Catalog, engine: LinearProgramEngine): MicroEur {
  const best = state.search.best!
  const tree = new BoundTree(catalog, state.instance, engine, best.unservedMicro, best.patterns)
  try {
    tree.step(best.costMicro, () => true)
    return Math.min(tree.boundMicro, best.costMicro)
  } finally {
    tree.dispose()
  }
}
