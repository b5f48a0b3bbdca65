import type { OpenedStore } from '../store/open-store.ts'
import { openPlanningQueue, type PlanFollower, type Planner, planHere } from './planning-queue.ts'
import { startPlanningWorker } from './planning-worker.ts'

export interface SharedPlanning {
  planner: Planner
  /** Null where there are no other servers. */
  follower: PlanFollower | null
  close(): Promise<void>
}

/**
 * How a server makes plans: on a data folder itself; on a PostgreSQL through the queue, off which it takes jobs as well
 * unless `takesJobs` says that only `lastmetre worker` does.
 */
export async function openSharedPlanning(store: OpenedStore, takesJobs: boolean): Promise<SharedPlanning> {
  const { db, databaseUrl } = store
  if (databaseUrl === null) return { planner: planHere, follower: null, close: async () => undefined }
  const queue = await openPlanningQueue(db, databaseUrl)
  const worker = takesJobs ? await startPlanningWorker(db, databaseUrl) : null
  return {
    planner: queue.planner,
    follower: queue.follower,
    async close() {
      await worker?.close()
      await queue.close()
    },
  }
}
