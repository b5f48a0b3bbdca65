import type { MicroEur } from '../quantity/money.ts'
import type { Plan } from './plan.ts'

/** What a plan comes to, for the cable types that a question concerns. */
export interface PlanFigures {
  unservedMicro: MicroEur
  costMicro: MicroEur
  /** How much less any plan of that service could cost; null where that is not proven. */
  gapMicro: MicroEur | null
}

/** Two plans side by side. */
export interface Comparison {
  before: PlanFigures
  after: PlanFigures
  /** What more is served: price weighted by due date. */
  servesMoreMicro: MicroEur
  /** What less it costs. */
  savesMicro: MicroEur
  /**
   * Between which two figures the saving lies if both were the best plans that there are; null where a gap is not proven, or
   * where they do not serve the same.
   */
  savesBetweenMicro: { least: MicroEur; most: MicroEur } | null
}

/** `cables`: the types in which the two differ; the gaps of the others are the same in both. */
export function comparePlans(before: Plan, after: Plan, cables: ReadonlySet<string>): Comparison {
  const a = figuresOf(before, cables)
  const b = figuresOf(after, cables)
  const savesMicro = before.costMicro - after.costMicro
  const servesMoreMicro = before.unservedMicro - after.unservedMicro
  const savesBetweenMicro =
    a.gapMicro === null || b.gapMicro === null || servesMoreMicro !== 0
      ? null
      : { least: savesMicro - a.gapMicro, most: savesMicro + b.gapMicro }
  return { before: a, after: b, servesMoreMicro, savesMicro, savesBetweenMicro }
}

function figuresOf(plan: Plan, cables: ReadonlySet<string>): PlanFigures {
  let gap = 0
  for (const { cable, costMicro, boundMicro } of plan.byCable)
    if (cables.has(cable))
      gap += Number.isFinite(boundMicro) ? Math.max(0, costMicro - boundMicro) : Number.POSITIVE_INFINITY
  const known = plan.byCable.some((b) => cables.has(b.cable)) && Number.isFinite(gap)
  return { unservedMicro: plan.unservedMicro, costMicro: plan.costMicro, gapMicro: known ? gap : null }
}

/** What the figures allow to say of a saving. */
export function savingProven({ savesMicro, savesBetweenMicro }: Comparison): boolean {
  if (!savesBetweenMicro) return false
  if (savesBetweenMicro.least === savesBetweenMicro.most) return true
  return savesMicro >= 0 ? savesBetweenMicro.least > 0 : savesBetweenMicro.most < 0
}
