import type { Plan } from '../plan/plan.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { eurFromMicro } from '../quantity/money.ts'
import { type PlanningJob, type PlanningProgress, startPlanning } from '../solver/start-planning.ts'
import type { Store } from '../store/dialect.ts'
import { addPlan, endPlan, keepBestPlan, lastPlanRow } from '../store/plans.ts'
import type { PlanProgress } from '../works/api.ts'
import type { CurrentWorks } from './works-desk.ts'

/** Open windows of the screens that are told of progress at one time. */
const MAX_LISTENERS = 16
/** A new best plan is written at most so often; the final one always. */
const KEEP_EVERY_MS = 1_000

export interface PlanningDesk {
  start(works: CurrentWorks, options: { seconds: number; seed: number }): Promise<PlanProgress>
  stop(): PlanProgress
  progress(): PlanProgress
  isRunning(): boolean
  /** The plan that is being made, with its best so far. */
  best(): { planId: number; plan: Plan } | null
  /** Calls the listener at once and at each change, until the answered function is called. */
  listen(listener: (progress: PlanProgress) => void): () => void
  /** Stops what runs and waits until it is stored. */
  close(): Promise<void>
}

interface Run {
  planId: number
  job: PlanningJob
  best: Plan | null
  /** Settles when the end of the plan is stored. */
  ended: Promise<void>
}

export async function openPlanningDesk(db: Store): Promise<PlanningDesk> {
  const last = await lastPlanRow(db)
  let progress: PlanProgress = {
    ...IDLE,
    planId: last?.id ?? null,
    seconds: last?.seconds ?? 0,
    message: last?.state === 'interrupted' ? last.message : null,
  }
  let run: Run | null = null
  let starting = false
  const listeners = new Set<(progress: PlanProgress) => void>()
  const tell = (change: Partial<PlanProgress>) => {
    progress = { ...progress, ...change }
    for (const listener of listeners) listener(progress)
  }

  const begin = async (works: CurrentWorks, { seconds, seed }: { seconds: number; seed: number }) => {
    const made_at = new Date().toISOString()
    const planId = await db
      .transaction()
      .execute((trx) => addPlan(trx, { works_version: works.row.version, made_at, seconds, seed }))
    const keeper = bestPlanKeeper(db, planId)
    const onProgress = (step: PlanningProgress) => {
      if (run === null || run.planId !== planId) return
      if (step.plan !== null) {
        run.best = step.plan
        keeper.offer(step.plan)
      }
      tell(shownProgress(step))
    }
    const job = startPlanning(works.works, { seconds, seed, onProgress })
    const thisRun: Run = { planId, job, best: null, ended: Promise.resolve() }
    run = thisRun
    tell({ ...IDLE, state: 'running', planId, seconds, phase: 'first plan' })
    thisRun.ended = finish(thisRun, keeper)
  }

  const finish = async (thisRun: Run, keeper: BestPlanKeeper) => {
    const { planId, job } = thisRun
    try {
      const plan = await job.result
      await keeper.close()
      const state = plan.stopped ? 'stopped' : 'done'
      await endPlan(db, planId, { state, planJson: JSON.stringify(plan), message: null })
      tell({ state: 'done', phase: 'done', ...moneyOf(plan) })
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error)
      tell({ state: 'failed', message })
      await keeper.close().catch(() => undefined)
      const planJson = thisRun.best === null ? null : JSON.stringify(thisRun.best)
      // Where the store itself failed there is nowhere to note it but the screen.
      await endPlan(db, planId, { state: 'failed', planJson, message }).catch(() => undefined)
    } finally {
      run = null
    }
  }

  return {
    async start(works, options) {
      if (run !== null || starting) throw new LastmetreError('plan-running', 'A plan is being made already.')
      starting = true
      try {
        await begin(works, options)
      } finally {
        starting = false
      }
      return progress
    },
    stop() {
      if (run !== null && progress.state === 'running') {
        tell({ state: 'stopping' })
        run.job.stop()
      }
      return progress
    },
    progress: () => progress,
    isRunning: () => run !== null,
    best: () => (run?.best ? { planId: run.planId, plan: run.best } : null),
    listen(listener) {
      if (listeners.size >= MAX_LISTENERS) {
        throw new LastmetreError('too-many', `${MAX_LISTENERS} windows are open already.`)
      }
      listeners.add(listener)
      listener(progress)
      return () => listeners.delete(listener)
    },
    async close() {
      run?.job.stop()
      await run?.ended
      listeners.clear()
    },
  }
}

const IDLE: PlanProgress = {
  state: 'idle',
  planId: null,
  phase: null,
  elapsedMs: 0,
  seconds: 0,
  unservedEur: null,
  costEur: null,
  boundCostEur: null,
  boundUnservedEur: null,
  message: null,
}

function shownProgress(step: PlanningProgress): Partial<PlanProgress> {
  const eur = (micro: number | null) => (micro === null ? null : eurFromMicro(micro))
  return {
    phase: step.phase,
    elapsedMs: Math.round(step.elapsedMs),
    unservedEur: eur(step.unservedMicro),
    costEur: eur(step.costMicro),
    boundCostEur: eur(step.boundCostMicro),
    boundUnservedEur: eur(step.boundUnservedMicro),
  }
}

function moneyOf(plan: Plan): Partial<PlanProgress> {
  return {
    unservedEur: eurFromMicro(plan.unservedMicro),
    costEur: eurFromMicro(plan.costMicro),
    boundCostEur: eurFromMicro(plan.bound.costMicro),
    boundUnservedEur: eurFromMicro(plan.bound.unservedMicro),
  }
}

interface BestPlanKeeper {
  offer(plan: Plan): void
  /** Ends without writing what waits: the final plan follows. Throws what a write failed with. */
  close(): Promise<void>
}

/** Writes the best plan so far, at most once a second, one write after the other. */
function bestPlanKeeper(db: Store, planId: number): BestPlanKeeper {
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
