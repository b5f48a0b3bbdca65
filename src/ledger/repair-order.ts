import { allowsFault } from '../order/faults-allowed.ts'
import { type Catalog, catalogOf, orderKey } from '../plan/catalog.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { StayingCuts } from '../plan/repair-fixed.ts'
import type { BrokenRule } from '../plan/tally.ts'
import { verifyPlan } from '../plan/verify.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { hasCuts, type OpenMounting } from './plan-now.ts'
import type { LedgerState } from './state.ts'

/** Places are rounded to whole micrometres. */
const SLACK_UM = 2

type Told = Pick<Plan['unserved'][number], 'order' | 'orderLine' | 'pieces' | 'reason' | 'offer'>

/** How what is left of the plan stands against the hall as it is. */
export interface PlanStanding {
  mountings: Mounting[]
  unserved: Told[]
  /** Rules that what is left breaks. */
  broken: BrokenRule[]
  /** Order lines that lack more than the plan said. */
  short: { order: string; orderLine: number }[]
}

/** What is left of the plan in force, checked like any plan. */
export function planStanding(
  open: OpenMounting[],
  plan: Pick<Plan, 'unserved'>,
  now: PlanInput,
): PlanStanding {
  const mountings: Mounting[] = open
    .filter(hasCuts)
    .map(({ drum, line, intervals }) => ({ drum, line, intervals }))
  const served = new Map<string, Set<number>>()
  for (const { intervals } of mountings)
    for (const i of intervals)
      if (i.use === 'piece') {
        const key = orderKey(i.order, i.orderLine)
        const pieces = served.get(key) ?? new Set<number>()
        served.set(key, pieces)
        for (let n = 0; n < i.count; n++) pieces.add(i.piece + n)
      }
  const told = new Map(plan.unserved.map((u) => [orderKey(u.order, u.orderLine), u]))
  const unserved: Told[] = []
  const short: PlanStanding['short'] = []
  for (const { order, line, qty } of now.orders) {
    const key = orderKey(order, line)
    const pieces = qty - (served.get(key)?.size ?? 0)
    if (pieces <= 0) continue
    const known = told.get(key)
    unserved.push({
      order,
      orderLine: line,
      pieces,
      reason: known?.reason ?? 'not in the plan',
      offer: known?.offer ?? null,
    })
    if (pieces > (known?.pieces ?? 0)) short.push({ order, orderLine: line })
  }
  return { mountings, unserved, broken: verifyPlan(now, { mountings, unserved }).broken, short }
}

/** An old plan for plan/repair.ts, with the cuts that must stay. */
export interface RepairOrder {
  mountings: Mounting[]
  unserved: Plan['unserved']
  held: StayingCuts[]
}

/**
 * The plan as it is to be repaired: a drum that is on a line goes on there without being mounted anew, and the cut that runs on it
 * stays as it is unless a fault lies in it or it can no longer be cut. Nought of scrap at the front stands for the begun mounting.
 */
export function repairOrder(
  { mountings, unserved }: PlanStanding,
  state: LedgerState,
  now: PlanInput,
): RepairOrder {
  const catalog = catalogOf(now)
  const held: StayingCuts[] = []
  const begun = mountings.map((mounting, index): Mounting => {
    const first = mountings.findIndex((m) => m.drum === mounting.drum) === index
    const row = state.drums.get(mounting.drum)
    if (!first || row?.mountedOn !== mounting.line || row.status !== 'free') return mounting
    const running = mounting.intervals[0]
    held.push({ mounting: index, intervals: running && canRun(running, mounting.drum, catalog) ? 2 : 1 })
    return { ...mounting, intervals: [BEGUN, ...mounting.intervals] }
  })
  return { mountings: begun, unserved, held }
}

const BEGUN: Interval = { fromUm: 0, toUm: 0, use: 'scrap', cause: 'begun' }

/** The mountings of a repaired plan without what stood for begun ones, and without those that cut nothing. */
export function withoutBegun(mountings: Mounting[]): Mounting[] {
  return mountings
    .map((m) => ({ ...m, intervals: m.intervals.filter((i) => i.use !== 'scrap' || i.toUm > i.fromUm) }))
    .filter(hasCuts)
}

function canRun(cut: Interval, drum: string, catalog: Catalog): boolean {
  const usable = catalog.drums.get(drum)
  if (!usable || cut.toUm > usable.lengthUm) return false
  if (cut.use !== 'piece') return true
  const order = catalog.orders.get(orderKey(cut.order, cut.orderLine))
  if (!order || cut.piece + cut.count - 1 > order.qty) return false
  if (cut.fromUm < usable.good.fromUm - SLACK_UM || cut.toUm > usable.good.toUm + SLACK_UM) return false
  return usable.zones.every(
    (z) => cut.fromUm >= z.toUm - SLACK_UM || cut.toUm <= z.fromUm + SLACK_UM || allowsFault(order, z.fault),
  )
}
