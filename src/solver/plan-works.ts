import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { PlanSearch } from '../plan/plan-search.ts'
import { highsEngine } from './highs-engine.ts'
import type { PlanningProgress } from './start-planning.ts'

/** Share of the time kept for putting the last plan together. */
const TAIL_MS = 150
/** A plan is assembled and shown no more often than this. */
const SHOW_MS = 400

/** Plans a works in this thread. `nowMs` counts from the start; `stopped` is asked often. */
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
  const { seconds, seed, nowMs, stopped, onProgress } = options
  const search = new PlanSearch(input, await highsEngine(), seed)
  const late = () => stopped() || nowMs() > seconds * 1000 - TAIL_MS
  try {
    search.first()
    const show = (phase: PlanningProgress['phase'], plan: Plan) =>
      onProgress({
        phase,
        elapsedMs: nowMs(),
        unservedMicro: plan.unservedMicro,
        costMicro: plan.costMicro,
        boundUnservedMicro: plan.bound.unservedMicro,
        boundCostMicro: Number.isFinite(plan.bound.costMicro) ? plan.bound.costMicro : null,
        plan,
      })
    show('first plan', search.plan(false))
    let shownAt = nowMs()
    let standing = search.standing
    while (!late() && search.turn(late)) {
      if (nowMs() - shownAt < SHOW_MS) continue
      // lets messages in and out of the thread
      await new Promise((resolve) => setImmediate(resolve))
      shownAt = nowMs()
      if (standing === search.standing) continue
      standing = search.standing
      show(search.bounded ? 'improving' : 'bound', search.plan(false))
    }
    search.settle()
    const plan = search.plan(stopped())
    show('done', plan)
    return plan
  } finally {
    search.dispose()
  }
}
