import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import type { Random } from '../../src/plan/random.ts'
import type { Fault } from '../../src/strip/fault.ts'

/** What may happen to a works after it was planned. */
export const HAPPENINGS = ['fault', 'cancelled order', 'rush order', 'drum on hold'] as const
export type Happening = (typeof HAPPENINGS)[number]

const picked = <T>(random: Random, list: readonly T[]): T => list[Math.floor(random() * list.length)]!

/** The works after it happened, and the cable type that it happened to. */
export function afterwards(
  works: PlanInput,
  plan: Plan,
  what: Happening,
  random: Random,
): { after: PlanInput; cable: string } {
  if (what === 'fault') {
    const after = withFault(works, random)
    const { drum } = after.faults.at(-1)!
    return { after, cable: works.drums.find((d) => d.drum === drum)!.cable }
  }
  if (what === 'drum on hold') {
    const { drum } = picked(random, plan.mountings)
    const drums = works.drums.map((d) => (d.drum === drum ? { ...d, status: 'qc_hold' as const } : d))
    return { after: { ...works, drums }, cable: works.drums.find((d) => d.drum === drum)!.cable }
  }
  const order = picked(random, works.orders)
  if (what === 'cancelled order')
    return { after: { ...works, orders: works.orders.filter((o) => o !== order) }, cable: order.cable }
  const rush = { ...order, order: 'RUSH', line: 1, sameLotGroup: null, matchedSet: null, matchKind: null }
  const due = { ...rush, qty: Math.min(rush.qty, 4), dueDate: works.site.works.todayDate }
  return { after: { ...works, orders: [...works.orders, due] }, cable: order.cable }
}

/** A fault that must be cut out, anywhere on a printed drum that may be cut. */
export function withFault(works: PlanInput, random: Random): PlanInput {
  const free = new Set(works.drums.filter((d) => d.status === 'free').map((d) => d.drum))
  const segments = works.marks.filter((m) => m.printUnit !== 'none' && free.has(m.drum))
  const segment = picked(random, segments)
  const mark = segment.markFrom! + random() * (segment.markTo! - segment.markFrom!)
  const fault: Fault = {
    fault: 'F-NEW',
    drum: segment.drum,
    segment: segment.segment,
    code: 'LUMP',
    what: null,
    severity: 'cut_out',
    markFrom: mark,
    markTo: mark,
    positionSource: 'mark_read',
    posUncUm: 500_000,
    foundAt: null,
    foundDate: works.site.works.todayDate,
  }
  return { ...works, faults: [...works.faults, fault] }
}
