import type { Plan } from '../plan/plan.ts'
import type { Store } from '../store/dialect.ts'
import { keepBestPlan } from '../store/plans.ts'

/** A new best plan is written at most so often; the final one always, by whoever ends the plan. */
const KEEP_EVERY_MS = 1_000

export interface BestPlanKeeper {
  offer(plan: Plan): void
  /** Ends without writing what waits: the final plan follows. Throws what a write failed with. */
  close(): Promise<void>
}

/** Writes the best plan so far to the store, one write after the other, so that it outlives the process. */
export function bestPlanKeeper(db: Store, planId: number): BestPlanKeeper {
  let waiting: Plan | null = null
  let timer: NodeJS.Timeout | undefined
  let lastMs = Number.NEGATIVE_INFINITY
  let writes: Promise<unknown> = Promise.resolve()
  const write = () => {
    timer = undefined
    if (waiting === null) return
    const planJson = JSON.stringify(waiting)
    waiting = null
    lastMs = Date.now()
    writes = writes.then(() => keepBestPlan(db, planId, planJson))
    // Reported by close(); here only so that it does not end the process meanwhile.
    writes.catch(() => undefined)
  }
  return {
    offer(plan) {
      waiting = plan
      timer ??= setTimeout(write, Math.max(0, lastMs + KEEP_EVERY_MS - Date.now()))
    },
    async close() {
      clearTimeout(timer)
      await writes
    },
  }
}
