import type { LinearProgramEngine } from '../../src/plan/linear-program.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import {
  NO_CLOCK,
  REPAIR_EFFORT,
  type Repair,
  type RepairOptions,
  repairPlan,
} from '../../src/plan/repair.ts'
import { verifyPlan } from '../../src/plan/verify.ts'
import { highsEngine } from '../../src/solver/highs-engine.ts'
import type { Mounting } from '../../src/strip/cut-plan.ts'
import type { Fault } from '../../src/strip/fault.ts'

const engine: LinearProgramEngine = await highsEngine()

/** Repairs without a clock, so that a busy machine repairs no worse. */
export function mended(input: PlanInput, old: Plan, options: Partial<RepairOptions> = {}): Repair {
  return repairPlan(input, old, engine, {
    seed: 1,
    effort: REPAIR_EFFORT,
    made: [],
    held: [],
    barred: new Map(),
    anew: new Set(),
    clock: NO_CLOCK,
    before: null,
    ...options,
  })
}

/** Mountings as a plan with honest figures and nothing proven. */
export function planOf(input: PlanInput, mountings: Mounting[]): Plan {
  const served = new Map<string, Set<number>>()
  for (const { intervals } of mountings)
    for (const i of intervals) {
      if (i.use !== 'piece') continue
      const key = `${i.order}/${i.orderLine}`
      const pieces = served.get(key) ?? new Set<number>()
      served.set(key, pieces)
      for (let n = 0; n < i.count; n++) pieces.add(i.piece + n)
    }
  const unserved = input.orders.flatMap((o) => {
    const pieces = o.qty - (served.get(`${o.order}/${o.line}`)?.size ?? 0)
    return pieces > 0 ? [{ order: o.order, orderLine: o.line, pieces, reason: 'as it was', offer: null }] : []
  })
  const { unservedMicro, costMicro, costItems, deliveredMicro } = verifyPlan(input, { mountings, unserved })
  return {
    works: input.folder,
    seed: 1,
    work: 0,
    mountings,
    unserved,
    unservedMicro,
    costMicro,
    costItems,
    deliveredMicro,
    bound: { unservedMicro: 0, costMicro: Number.NEGATIVE_INFINITY },
    stopped: false,
    byCable: [],
  }
}

/** A fault that has to be cut out, at a share of the length of a drum. */
export function foundFault(input: PlanInput, drum: string, share: number): Fault {
  const segments = input.marks.filter((m) => m.drum === drum && m.printUnit !== 'none')
  const segment = segments[Math.min(segments.length - 1, Math.floor(share * segments.length))]!
  const mark = segment.markFrom! + share * (segment.markTo! - segment.markFrom!)
  return {
    fault: 'F-NEW',
    drum,
    segment: segment.segment,
    code: 'LUMP',
    what: null,
    severity: 'cut_out',
    markFrom: mark,
    markTo: mark,
    positionSource: 'mark_read',
    posUncUm: 500_000,
    foundAt: null,
    foundDate: input.site.works.todayDate,
  }
}

export function withFault(input: PlanInput, fault: Fault): PlanInput {
  return { ...input, faults: [...input.faults, fault] }
}
