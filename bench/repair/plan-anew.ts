import { catalogOf } from '../../src/plan/catalog.ts'
import { typeInstance } from '../../src/plan/instance.ts'
import type { LinearProgramEngine } from '../../src/plan/linear-program.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { NO_CLOCK, REPAIR_EFFORT, type Repair, repairPlan } from '../../src/plan/repair.ts'
import { TypePlanner } from '../../src/plan/type-planner.ts'
import { verifyPlan } from '../../src/plan/verify.ts'

/** A new plan of a type takes at least so much work: below it there is hardly a plan. */
const LEAST_WORK = 1_000
const MOST_TURNS = 200

/** Repairs as the product does when asked, without a clock. */
export function repaired(
  after: PlanInput,
  before: PlanInput,
  plan: Plan,
  engine: LinearProgramEngine,
  seed: number,
): Repair {
  return repairPlan(after, plan, engine, {
    seed,
    effort: REPAIR_EFFORT,
    made: [],
    held: [],
    barred: new Map(),
    anew: new Set(),
    clock: NO_CLOCK,
    before,
  })
}

/** What a cable type comes to when it alone is planned from nothing with so much work. */
export function planAnew(
  input: PlanInput,
  cable: string,
  engine: LinearProgramEngine,
  work: number,
  seed: number,
): { unservedMicro: number; costMicro: number } {
  const catalog = catalogOf(input)
  const instance = typeInstance(catalog, catalog.cables.get(cable)!)
  const planner = new TypePlanner(catalog, instance, engine, seed)
  const most = Math.max(LEAST_WORK, work)
  const left = () => most - planner.work
  const late = () => left() <= 0
  try {
    planner.first(() => false)
    for (let turn = 0; turn < MOST_TURNS && !late(); turn++)
      planner.turn({
        late,
        leftMs: () => (late() ? 0 : Number.POSITIVE_INFINITY),
        turnLeftMs: left,
        timed: false,
      })
    const { solution } = planner.result()
    const credit = instance.items.reduce((sum, item) => sum + item.creditMicro * item.demand, 0)
    return { unservedMicro: solution.unservedMicro, costMicro: solution.costMicro - credit }
  } finally {
    planner.dispose()
  }
}

/** What a plan leaves unserved of one cable type. */
export function unservedOfType(input: PlanInput, plan: Plan, cable: string): number {
  const drums = new Set(input.drums.filter((d) => d.cable === cable).map((d) => d.drum))
  return verifyPlan(
    { ...input, orders: input.orders.filter((o) => o.cable === cable) },
    { mountings: plan.mountings.filter((m) => drums.has(m.drum)), unserved: [] },
  ).unservedMicro
}

export function changedMountings(before: Plan, after: Plan): number {
  const cuts = (p: Plan) => new Map(p.mountings.map((m) => [m.drum, JSON.stringify([m.line, m.intervals])]))
  const [old, now] = [cuts(before), cuts(after)]
  return [...new Set([...old.keys(), ...now.keys()])].filter((d) => old.get(d) !== now.get(d)).length
}
