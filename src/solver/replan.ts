import type { TurnClock } from '../plan/bound-tree.ts'
import { type Comparison, comparePlans } from '../plan/compare-plans.ts'
import { type Explanation, explainLine } from '../plan/explain.ts'
import type { LinearProgramEngine } from '../plan/linear-program.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { REPAIR_EFFORT, type Repair, repairPlan } from '../plan/repair.ts'
import { type PlanChange, planChanges } from '../plan/repair-changes.ts'
import type { StayingCuts } from '../plan/repair-fixed.ts'
import type { RepairEffort } from '../plan/repair-search.ts'
import { type Variant, variantOf, type WhatIf } from '../plan/what-if.ts'
import { highsEngine } from './highs-engine.ts'

/** What an old plan is asked for: all plain data. */
export type ReplanOrder = {
  input: PlanInput
  /** The works of the old plan, where it was another. */
  before: PlanInput | null
  plan: OldPlan
  seed: number
  /** For each plan that is made. */
  seconds: number
} /** `held`: cuts that were not made and must stay. */ & (
  | { kind: 'repair'; made: StayingCuts[]; held?: StayingCuts[] }
  | { kind: 'try'; changes: WhatIf[] }
  | { kind: 'explain'; order: string; orderLine: number }
)

export type OldPlan = Parameters<typeof repairPlan>[1]

/** Two plans of one works: as it is, and with the changes that were tried. */
export interface Tried {
  /** The plan that was there, looked at as hard. */
  before: Plan
  /** What is proven of it holds for the works itself, not only under the changes. */
  after: Plan
  changes: PlanChange[]
  comparison: Comparison
}

/** Looks as hard as time allows, with a bound of its own. */
const LONG_EFFORT: RepairEffort = {
  tries: 40,
  work: 10_000,
  widest: 3,
  moves: 10_000,
  turns: 12,
  changeMicro: 0,
}
/** Work of the last plan that cannot be broken off. */
const TAIL_MS = 60

/** Loaded once in a thread: a thread that is kept repairs again and again. */
let engineOnce: ReturnType<typeof highsEngine> | null = null

/** Repairs a plan: quick, and the same for a seed unless time runs out. */
export async function repaired(order: Extract<ReplanOrder, { kind: 'repair' }>): Promise<Repair> {
  engineOnce ??= highsEngine()
  const engine = await engineOnce
  return repairPlan(order.input, order.plan, engine, {
    seed: order.seed,
    effort: REPAIR_EFFORT,
    made: order.made,
    held: order.held ?? [],
    barred: new Map(),
    anew: new Set(),
    clock: clockFor(order.seconds),
    before: order.before,
  })
}

/** Tries changes: the plan as it is and the changed one, both looked at as hard. */
export async function tried(order: Extract<ReplanOrder, { kind: 'try' }>): Promise<Tried> {
  const engine = await highsEngine()
  const { input, plan, changes } = order
  const { mountings } = plan
  const variant = variantOf(input, mountings, changes)
  const unchanged = { ...variantOf(input, mountings, []), cables: variant.cables }
  const before = solved(engine, order, unchanged, plan).plan
  const found = solved(engine, order, variant, plan)
  const comparison = comparePlans(before, found.plan, variant.cables)
  // what a person forbids is no rule of the works, so the bound is proven anew without it
  const added = changes.filter((c) => c.kind === 'add')
  const works = { ...variantOf(input, mountings, added), cables: new Set<string>() }
  const byCable = found.plan.byCable.filter((b) => !variant.cables.has(b.cable))
  const after = solved(engine, order, works, { ...found.plan, byCable }).plan
  return {
    before,
    after: added.length > 0 ? after : withBoundOf(after, before),
    changes: planChanges(mountings, after.mountings),
    comparison,
  }
}

/** Of two plans of one works that serve the same the better bound is proven for both. */
function withBoundOf(plan: Plan, other: Plan): Plan {
  const { unservedMicro, costMicro } = plan
  const same = other.unservedMicro === unservedMicro
  const byCable = plan.byCable.map((b) => {
    const known = other.byCable.find((o) => o.cable === b.cable)
    const most = Math.max(b.boundMicro, same && known ? known.boundMicro : b.boundMicro)
    return { ...b, boundMicro: Math.min(most, b.costMicro) }
  })
  const cost = Math.max(plan.bound.costMicro, same ? other.bound.costMicro : Number.NEGATIVE_INFINITY)
  const service = Math.max(plan.bound.unservedMicro, other.bound.unservedMicro)
  const bound = { unservedMicro: Math.min(service, unservedMicro), costMicro: Math.min(cost, costMicro) }
  return { ...plan, byCable, bound }
}

/** Explains an order line by planning again and again. */
export async function explained(order: Extract<ReplanOrder, { kind: 'explain' }>): Promise<Explanation> {
  const engine = await highsEngine()
  const { input } = order
  // figures of the old plan are needed in full, so it is taken through the check once
  const whole = solved(
    engine,
    { ...order, seconds: 0 },
    variantOf(input, order.plan.mountings, []),
    order.plan,
  )
  return explainLine(input, whole.plan, order, (variant, from) => solved(engine, order, variant, from))
}

function solved(
  engine: LinearProgramEngine,
  { input, seed, seconds }: Pick<ReplanOrder, 'input' | 'seed' | 'seconds'>,
  variant: Variant,
  from: OldPlan,
): Repair {
  return repairPlan(variant.input, from, engine, {
    seed,
    effort: LONG_EFFORT,
    made: [],
    held: variant.held,
    barred: variant.barred,
    anew: seconds > 0 ? variant.cables : new Set(),
    clock: clockFor(seconds),
    before: input,
  })
}

function clockFor(seconds: number): TurnClock {
  const endMs = performance.now() + seconds * 1000 - TAIL_MS
  const leftMs = () => endMs - performance.now()
  return { leftMs, turnLeftMs: () => Number.POSITIVE_INFINITY, late: () => leftMs() <= 0, timed: true }
}
