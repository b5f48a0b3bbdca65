import { allowsFault } from '../order/faults-allowed.ts'
import { type Catalog, catalogOf, orderKey } from '../plan/catalog.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { servedOf } from '../plan/plan-pieces.ts'
import type { StayingCuts } from '../plan/repair-fixed.ts'
import { type BrokenRule, SLACK_UM } from '../plan/tally.ts'
import { verifyPlan } from '../plan/verify.ts'
import type { Interval, Mounting, PieceInterval } from '../strip/cut-plan.ts'
import { hasCuts, type OpenMounting } from './plan-now.ts'
import type { LedgerState } from './state.ts'

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
  const told = new Map(plan.unserved.map((u) => [orderKey(u.order, u.orderLine), u]))
  const unserved = unservedBy(mountings, now).map((u) => {
    const known = told.get(orderKey(u.order, u.orderLine))
    return { ...u, reason: known?.reason ?? 'not in the plan', offer: known?.offer ?? null }
  })
  const short = unserved
    .filter((u) => u.pieces > (told.get(orderKey(u.order, u.orderLine))?.pieces ?? 0))
    .map(({ order, orderLine }) => ({ order, orderLine }))
  return { mountings, unserved, broken: verifyPlan(now, { mountings, unserved }).broken, short }
}

function unservedBy(mountings: Mounting[], now: PlanInput) {
  const served = servedOf(mountings)
  return now.orders.flatMap(({ order, line, qty }) => {
    const pieces = qty - (served.get(orderKey(order, line))?.size ?? 0)
    return pieces > 0 ? [{ order, orderLine: line, pieces }] : []
  })
}

/**
 * The plan as it would be if only what cannot be cut any more were left out: the least that a repair has to serve. null where
 * that alone keeps not every rule.
 */
export function leavingPlan(
  { mountings, unserved: told }: PlanStanding,
  now: PlanInput,
): Pick<Plan, 'mountings' | 'unserved'> | null {
  const catalog = catalogOf(now)
  const nameOf = (i: PieceInterval) => `${orderKey(i.order, i.orderLine)} ${i.piece}`
  const usable = mountings.filter((m) => catalog.drums.get(m.drum)?.drum.status === 'free')
  const lost = new Set<string>()
  for (const { drum, intervals } of usable)
    for (const i of intervals) if (i.use === 'piece' && !canRun(i, drum, catalog)) lost.add(nameOf(i))
  // parts on a drum that is held are lost to the others of their piece
  for (const m of mountings)
    if (!usable.includes(m)) for (const i of m.intervals) if (i.use === 'piece') lost.add(nameOf(i))
  // a cut that runs stays a piece, so its piece cannot be given up here
  for (const { drum, line, intervals } of usable) {
    const running = intervals[0]
    const isMounted = catalog.drums.get(drum)?.drum.ledger?.mountedOn === line
    if (isMounted && running?.use === 'piece' && canRun(running, drum, catalog) && lost.has(nameOf(running)))
      return null
  }
  const left = usable.map((m) => ({
    ...m,
    intervals: m.intervals.map((i): Interval => {
      if (i.use !== 'piece' || !lost.has(nameOf(i))) return i
      return { fromUm: i.fromUm, toUm: i.toUm, use: 'scrap', cause: 'no longer to be cut' }
    }),
  }))
  const unserved = unservedBy(left, now).map((u) => {
    const known = told.find((t) => t.order === u.order && t.orderLine === u.orderLine)
    return { ...u, reason: known?.reason ?? 'could no longer be cut', offer: known?.offer ?? null }
  })
  return verifyPlan(now, { mountings: left, unserved }).broken.length === 0
    ? { mountings: left, unserved }
    : null
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
