import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'
import type { PlanningProgress } from './start-planning.ts'

/** STUB until the planner is here: serves nothing. */
export async function planWorks(
  input: PlanInput,
  options: {
    seconds: number
    seed: number
    nowMs: () => number
    stopped: () => boolean
    onProgress: (progress: PlanningProgress) => void
  },
): Promise<Plan> {
  const zero = 0 as MicroEur
  const unservedMicro = input.orders.reduce((sum, line) => sum + microFromEur(line.priceEur), 0) as MicroEur
  const plan: Plan = {
    works: input.folder,
    seed: options.seed,
    work: 0,
    mountings: [],
    unserved: input.orders.map((line) => ({
      order: line.order,
      orderLine: line.line,
      pieces: line.qty,
      reason: 'The planner is not built yet.',
      offer: null,
    })),
    unservedMicro,
    costMicro: zero,
    costItems: {
      stockValueLost: zero,
      copperReturned: zero,
      mountings: zero,
      putupChanges: zero,
      windOffs: zero,
      putups: zero,
      materialDelivered: zero,
    },
    bound: { unservedMicro: zero, costMicro: zero },
    stopped: false,
    byCable: [],
    deliveredMicro: zero,
  }
  for (;;) {
    const elapsedMs = options.nowMs()
    const done = elapsedMs >= options.seconds * 1_000 || options.stopped()
    options.onProgress({
      phase: done ? 'done' : 'improving',
      elapsedMs,
      unservedMicro,
      costMicro: 0,
      boundUnservedMicro: 0,
      boundCostMicro: 0,
      plan: elapsedMs < 200 ? plan : null,
    })
    if (done) return { ...plan, stopped: options.stopped() }
    await new Promise((resolve) => setTimeout(resolve, 100))
  }
}
