import { LastmetreError } from '../quantity/errors.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import type { Catalog } from './catalog.ts'
import { type TypeInstance, typeInstance } from './instance.ts'
import type { Plan } from './plan.ts'
import type { PlanInput } from './plan-input.ts'
import { servedOf } from './plan-pieces.ts'
import { unservedOf } from './reasons.ts'
import { closing, type Mended } from './repair-assemble.ts'
import { onlyHarder } from './repair-harder.ts'
import type { OpenType } from './repair-instance.ts'
import { plainServiceBound } from './service-bound.ts'
import { lineMountMicro, unservedMicro } from './tariff.ts'
import type { TypeResult } from './type-planner.ts'
import { type Verdict, verifyPlan } from './verify.ts'

/** A type once it is planned again. */
export interface PlannedAnew {
  type: OpenType
  mended: Mended
  result: TypeResult
  /** Nothing happened to it, so its mountings stay; only what is proven of it is found anew. */
  kept: boolean
}

interface Parts {
  works: Catalog
  old: Pick<Plan, 'mountings' | 'bound' | 'byCable' | 'unservedMicro'>
  planned: PlannedAnew[]
  mountings: Mounting[]
  seed: number
  before: PlanInput | null
}

/** Rounding of copper and credits, once for each mounting and piece: far below a cent. */
const ROUNDING_MICRO = 2
const CENT_MICRO = 10_000
/** By so much may a sum over pieces differ from the same sum over order lines. */
const SERVICE_MICRO = 1_000

/** The plan of its mountings: reasons for what is missing, its own check, and what is proven of it. */
export function concludedPlan({ works, old, planned, mountings, seed, before }: Parts): Plan {
  const { input } = works
  const instances = instancesFor(works, mountings)
  const leastMicro = serviceBounds(works, old, planned, mountings)
  const leastLeft = [...instances.keys()].filter(
    (cable) =>
      missingMicro(works, cable, mountings) <=
      (leastMicro.get(cable) ?? Number.NEGATIVE_INFINITY) + SERVICE_MICRO,
  )
  const unserved = unservedOf(works, [...instances.values()], mountings, new Set(leastLeft))
  const verdict = verifyPlan(input, { mountings, unserved })
  const first = verdict.broken[0]
  if (first)
    throw new LastmetreError(
      'plan-broken',
      `The plan breaks a rule (${first.rule}, ${first.where}): ${first.why}.`,
    )
  const byCable = planned.map((p) => {
    const standing = standingOf(works, old.mountings, p, mountings)
    const proven = before && provenBefore(works, before, old, p, mountings)
    return { ...standing, boundMicro: Math.max(standing.boundMicro, proven ?? standing.boundMicro) }
  })
  const all = [...keptOf(works, old, planned), ...byCable].sort(
    (a, b) => order(works, a.cable) - order(works, b.cable),
  )
  const mustStayMicro = [...leastMicro.values()].reduce((sum, micro) => sum + micro, -roundedMicro(old))
  const cost = all.reduce((sum, b) => sum + b.boundMicro, 0) - cableChangesMicro(works)
  return {
    works: input.folder,
    seed,
    work: planned.reduce((sum, p) => sum + p.result.work, 0),
    mountings,
    unserved,
    unservedMicro: verdict.unservedMicro,
    costMicro: verdict.costMicro,
    costItems: verdict.costItems,
    deliveredMicro: verdict.deliveredMicro,
    bound: {
      unservedMicro: Math.min(mustStayMicro, verdict.unservedMicro),
      costMicro: Math.min(Math.floor(cost), verdict.costMicro),
    },
    stopped: false,
    byCable: all,
  }
}

/** What is known of the types that were not touched. */
function keptOf(works: Catalog, old: Parts['old'], planned: PlannedAnew[]): Plan['byCable'] {
  const anew = new Set(planned.map(({ type }) => type.cable.cable))
  return old.byCable.filter((b) => !anew.has(b.cable) && works.cables.has(b.cable))
}

function order(works: Catalog, cable: string): number {
  return works.input.cables.findIndex((c) => c.cable === cable)
}

/** Instances of the types that leave something unserved: for the reasons. */
function instancesFor(works: Catalog, mountings: Mounting[]): Map<string, TypeInstance> {
  const served = servedOf(mountings)
  const instances = new Map<string, TypeInstance>()
  for (const [key, line] of works.orders) {
    if ((served.get(key)?.size ?? 0) >= line.qty || instances.has(line.cable)) continue
    instances.set(line.cable, typeInstance(works, works.cables.get(line.cable)!))
  }
  return instances
}

/** Cost and bound of one type, its fixed part included. */
function standingOf(
  works: Catalog,
  old: Mounting[],
  { type, result, kept }: PlannedAnew,
  mountings: Mounting[],
): Plan['byCable'][number] {
  const { cable, instance } = type
  const credit = instance.items.reduce((sum, item) => sum + item.creditMicro * item.demand, 0)
  const fixed = costOf(
    works,
    cable.cable,
    type.allFixed.map((f) => ({
      drum: f.drum,
      line: f.line,
      intervals: [...f.intervals, ...closing(type, old[f.index]!, f)],
    })),
  )
  const slack = ROUNDING_MICRO * (mountings.length + type.demand.orders.length + 1)
  const whole = costOf(works, cable.cable, mountings)
  const asServed =
    !kept ||
    Math.abs(result.solution.unservedMicro - missingMicro(works, cable.cable, mountings)) <= SERVICE_MICRO
  return {
    cable: cable.cable,
    costMicro: kept ? whole.costMicro : result.solution.costMicro - credit + fixed.costMicro,
    boundMicro: asServed
      ? Math.min(result.boundMicro, result.solution.costMicro) - credit + fixed.costMicro - slack
      : Number.NEGATIVE_INFINITY,
    deliveredMicro: whole.deliveredMicro,
  }
}

/** The old bound of a type that has only become harder and is served as before: it still holds. */
function provenBefore(
  works: Catalog,
  before: PlanInput,
  old: Parts['old'],
  { type }: PlannedAnew,
  mountings: Mounting[],
): MicroEur | null {
  const { cable } = type.cable
  const known = old.byCable.find((b) => b.cable === cable)
  if (!known || !onlyHarder(before, works.input, cable)) return null
  const same = missingMicro(works, cable, mountings) === missingMicro(works, cable, old.mountings)
  return same ? known.boundMicro : null
}

/** What the mountings of one cable cost by themselves. */
function costOf(works: Catalog, cable: string, mountings: Mounting[]): Verdict {
  const { input } = works
  const own = mountings.filter((m) => works.drums.get(m.drum)?.drum.cable === cable)
  return verifyPlan(
    {
      ...input,
      drums: input.drums.filter((d) => d.cable === cable),
      orders: input.orders.filter((o) => o.cable === cable),
    },
    { mountings: own, unserved: [] },
  )
}

/** Each type pays for a change of cable on each line it uses, but the first cable on a line is no change. */
function cableChangesMicro({ input }: Catalog): MicroEur {
  const ordered = new Set(input.orders.map((o) => o.cable))
  const cables = input.cables.filter((c) => ordered.has(c.cable))
  let sum = 0
  for (const line of input.site.lines)
    if (cables.some((c) => c.odMm >= line.odMinMm && c.odMm <= line.odMaxMm))
      sum += Math.max(0, lineMountMicro(line, input.costs, true) - lineMountMicro(line, input.costs, false))
  return sum
}

/**
 * What must stay unserved of each type. Of types that were not touched: what they leave, where the old plan was proven to serve all
 * it could; else what plainly no stock can give.
 */
function serviceBounds(
  works: Catalog,
  old: Parts['old'],
  planned: PlannedAnew[],
  mountings: Mounting[],
): Map<string, MicroEur> {
  const leastMicro = new Map(planned.map((p) => [p.type.cable.cable, p.result.serviceBoundMicro]))
  const proven = servedMost(old)
  for (const { cable } of keptOf(works, old, planned))
    leastMicro.set(
      cable,
      proven
        ? missingMicro(works, cable, mountings)
        : plainServiceBound(typeInstance(works, works.cables.get(cable)!)),
    )
  return leastMicro
}

/** A plan that was read from a file has both figures rounded to cents. */
function servedMost({ unservedMicro, bound }: Parts['old']): boolean {
  return unservedMicro - bound.unservedMicro <= CENT_MICRO
}

function roundedMicro(old: Parts['old']): MicroEur {
  return servedMost(old) ? old.unservedMicro - old.bound.unservedMicro : 0
}

function missingMicro(works: Catalog, cable: string, mountings: Mounting[]): MicroEur {
  const served = servedOf(mountings)
  let sum = 0
  for (const [key, line] of works.orders) {
    const missing = line.qty - (served.get(key)?.size ?? 0)
    if (line.cable === cable && missing > 0)
      sum += unservedMicro(line, missing, works.input.site.works.todayDate)
  }
  return sum
}
