import type { Plan } from '../plan/plan.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { PlanningJob, PlanningProgress } from '../solver/start-planning.ts'
import type { Store } from '../store/dialect.ts'
import { endPlan, lastPlanRow } from '../store/plans.ts'
import type { PlanProgress } from '../works/api.ts'
import { type BestPlanKeeper, bestPlanKeeper } from './best-plan-keeper.ts'
import type { FloorNow } from './floor-desk.ts'
import { beginPlan } from './plan-floors.ts'
import { planInputOf } from './plan-input-of.ts'
import type { Planner } from './planning-queue.ts'
import { IDLE, shownEnd, shownStep } from './shown-progress.ts'

/** Open windows of the screens that are told of progress at one time. */
const MAX_LISTENERS = 16

interface Run {
  planId: number
  job: PlanningJob
  keeper: BestPlanKeeper
  best: Plan | null
}

type Listener = (progress: PlanProgress) => void

/** The one plan that is being made: begun, watched, stopped, and stored as it goes. */
export class PlanningDesk {
  readonly #db: Store
  readonly #planner: Planner
  readonly #listeners = new Set<Listener>()
  #progress: PlanProgress
  #run: Run | null = null
  /** Settles when the end of the last plan is stored. */
  #ended: Promise<void> = Promise.resolve()
  #isStarting = false

  private constructor(db: Store, planner: Planner, progress: PlanProgress) {
    this.#db = db
    this.#planner = planner
    this.#progress = progress
  }

  static async open(db: Store, planner: Planner): Promise<PlanningDesk> {
    const last = await lastPlanRow(db)
    return new PlanningDesk(db, planner, {
      ...IDLE,
      planId: last?.id ?? null,
      seconds: last?.seconds ?? 0,
      message: last?.state === 'interrupted' ? last.message : null,
    })
  }

  async start(now: FloorNow, options: { seconds: number; seed: number }): Promise<PlanProgress> {
    if (this.#run !== null || this.#isStarting) {
      throw new LastmetreError('plan-running', 'A plan is being made already.')
    }
    this.#isStarting = true
    try {
      const planId = await this.#db.transaction().execute((trx) => beginPlan(trx, now, options))
      const job = this.#planner(planId, planInputOf(now.works), {
        ...options,
        onProgress: (step) => this.#step(planId, step),
      })
      this.#run = { planId, job, keeper: bestPlanKeeper(this.#db, planId), best: null }
      this.#tell({ ...IDLE, state: 'running', planId, seconds: options.seconds, phase: 'first plan' })
      this.#ended = this.#finish(this.#run)
    } finally {
      this.#isStarting = false
    }
    return this.#progress
  }

  stop(): PlanProgress {
    if (this.#run !== null && this.#progress.state === 'running') {
      this.#tell({ state: 'stopping' })
      this.#run.job.stop()
    }
    return this.#progress
  }

  progress(): PlanProgress {
    return this.#progress
  }

  /** The best so far of the plan that is being made. */
  best(): { planId: number; plan: Plan } | null {
    return this.#run?.best ? { planId: this.#run.planId, plan: this.#run.best } : null
  }

  /** Calls the listener at once and at each change, until the answered function is called. */
  listen(listener: Listener): () => void {
    if (this.#listeners.size >= MAX_LISTENERS) {
      throw new LastmetreError('too-many', `${MAX_LISTENERS} windows are open already.`)
    }
    this.#listeners.add(listener)
    listener(this.#progress)
    return () => this.#listeners.delete(listener)
  }

  /** Stops what runs and waits until it is stored. */
  async close(): Promise<void> {
    this.#run?.job.stop()
    await this.#ended
    this.#listeners.clear()
  }

  #tell(change: Partial<PlanProgress>): void {
    this.#progress = { ...this.#progress, ...change }
    for (const listener of this.#listeners) listener(this.#progress)
  }

  #step(planId: number, step: PlanningProgress): void {
    if (this.#run?.planId !== planId) return
    if (step.plan !== null) {
      this.#run.best = step.plan
      this.#run.keeper.offer(step.plan)
    }
    this.#tell(shownStep(step))
  }

  async #finish(run: Run): Promise<void> {
    const { planId, job, keeper } = run
    try {
      const plan = await job.result
      await keeper.close()
      const state = plan.stopped ? 'stopped' : 'done'
      await endPlan(this.#db, planId, { state, planJson: JSON.stringify(plan), message: null })
      this.#run = null
      this.#tell(shownEnd(plan))
    } catch (error) {
      const message = error instanceof Error ? error.message : String(error)
      await keeper.close().catch(() => undefined)
      const planJson = run.best === null ? null : JSON.stringify(run.best)
      // Where the store itself failed there is nowhere to note it but the screen.
      await endPlan(this.#db, planId, { state: 'failed', planJson, message }).catch(() => undefined)
      this.#run = null
      this.#tell({ state: 'failed', message })
    }
  }
}
