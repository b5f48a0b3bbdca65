import type { AddJobFunction } from 'graphile-worker'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { LastmetreError, thrownAs } from '../quantity/errors.ts'
import { startPlanning } from '../solver/start-planning.ts'
import type { Store } from '../store/dialect.ts'
import { databaseUrl, openStore } from '../store/open-store.ts'
import {
  beat,
  endPlanningJob,
  nextTurn,
  type PlanningJobRow,
  takePlanningJob,
} from '../store/planning-jobs.ts'
import { endPlan, keepBestPlan } from '../store/plans.ts'
import { PLANNING_TASK, type PlanningEnd } from './planning-queue.ts'

/** How often a worker says how far it is. */
const BEAT_MS = 500
/** How often the queue is asked where nobody rings. */
const POLL_MS = 2_000

export interface RunningWorker {
  /** Gives back what is being planned, for another worker to take. */
  close(): Promise<void>
}

/** Takes planning jobs off the queue of the PostgreSQL database at `url`, one at a time. */
export async function startPlanningWorker(db: Store, url: string): Promise<RunningWorker> {
  // Loaded only where there is a PostgreSQL.
  const { Logger, run } = await import('graphile-worker')
  const shift: Shift = { jobs: new Set(), isOver: false }
  const runner = await run({
    connectionString: url,
    concurrency: 1,
    noHandleSignals: true,
    pollInterval: POLL_MS,
    logger: new Logger(() => () => undefined),
    taskList: {
      [PLANNING_TASK]: async (payload, { addJob }) => {
        const { planId, turn } = payload as { planId: number; turn: number }
        const row = await takePlanningJob(db, planId, turn)
        if (row !== null) await makePlan(db, row, shift, addJob)
      },
    },
  })
  return {
    async close() {
      shift.isOver = true
      for (const job of shift.jobs) job.stop()
      await runner.stop()
    },
  }
}

/** A worker as a process of its own. Throws 'store-failed' where DATABASE_URL names no PostgreSQL. */
export async function servePlanning(): Promise<RunningWorker> {
  const url = databaseUrl()
  if (url === null) {
    throw new LastmetreError('store-failed', 'A worker needs a shared PostgreSQL: set DATABASE_URL.')
  }
  const store = await openStore('', url)
  const worker = await startPlanningWorker(store.db, url)
  return {
    async close() {
      await worker.close()
      await store.close()
    },
  }
}

/** What a worker has in hand. */
interface Shift {
  jobs: Set<{ stop(): void }>
  isOver: boolean
}

async function makePlan(db: Store, row: PlanningJobRow, shift: Shift, addJob: AddJobFunction): Promise<void> {
  const { plan_id: planId, turn, seconds, seed } = row
  let progress: string | undefined
  let best: Plan | undefined
  const job = startPlanning(JSON.parse(row.input) as PlanInput, {
    seconds,
    seed,
    onProgress: (step) => {
      best = step.plan ?? best
      progress = JSON.stringify({ ...step, plan: null })
    },
  })
  shift.jobs.add(job)
  let isAskedToStop = false
  let beats: Promise<void> = Promise.resolve()
  const tell = async () => {
    const news = { ...(progress ? { progress } : {}), ...(best ? { best: JSON.stringify(best) } : {}) }
    progress = undefined
    best = undefined
    const answer = await beat(db, planId, turn, news)
    isAskedToStop = answer?.stop ?? true
    if (isAskedToStop) job.stop()
    // The plan outlives server and worker.
    if (answer !== null && news.best !== undefined) await keepBestPlan(db, planId, news.best)
  }
  const timer = setInterval(() => {
    // A beat that fails is missed; the server gives the job away where too many are.
    beats = beats.then(tell).catch(() => undefined)
  }, BEAT_MS)
  let end: PlanningEnd
  try {
    end = { plan: await job.result }
  } catch (error) {
    end = { failed: thrownAs(error) }
  } finally {
    clearInterval(timer)
    shift.jobs.delete(job)
  }
  await beats
  if (shift.isOver && !isAskedToStop) {
    if (await nextTurn(db, planId, turn)) {
      await addJob(PLANNING_TASK, { planId, turn: turn + 1 }, { maxAttempts: 1 })
    }
    return
  }
  if (!(await endPlanningJob(db, planId, turn, JSON.stringify(end)))) return
  // Where the server that asked is gone, nobody else writes the end.
  if ('plan' in end) {
    const state = end.plan.stopped ? 'stopped' : 'done'
    await endPlan(db, planId, { state, planJson: JSON.stringify(end.plan), message: null })
  } else {
    await endPlan(db, planId, { state: 'failed', planJson: null, message: end.failed.message })
  }
}
