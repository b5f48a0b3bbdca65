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
import type { PlanFollower, Planner } from './planning-queue.ts'
import { lookOnNews, type Sharing } from './sharing.ts'
import { IDLE, shownEnd, shownStep } from './shown-progress.ts'

/** Open windows of the screens that are told of progress at one time. */
const MAX_LISTENERS = 16

interface Run {
  planId: number
  /** `leave`: another server asked for it. */
  job: Pick<PlanningJob, 'stop'> & { leave?: () => void }
  result: Promise<Plan | null>
  /** Null where another server asked for it. */
  keeper: BestPlanKeeper | null
  best: Plan | null
}

type Listener = (progress: PlanProgress) => void

interface Planners {
  planner: Planner
  follower: PlanFollower | null
  sharing: Sharing
}

/**
 * The one plan that is being made: begun, watched, stopped, and stored as it goes. Of several servers each shows it, whichever
 * was asked for it, and any can stop it.
 */
export class PlanningDesk {
  readonly #db: Store
  readonly #planner: Planner
  readonly #follower: PlanFollower | null
  readonly #sharing: Sharing
  readonly #listeners = new Set<Listener>()
  #progress: PlanProgress
  #run: Run | null = null
  /** Settles when the end of the last plan is stored. */
  #ended: Promise<void> = Promise.resolve()
  #isStarting = false
  #isClosed = false

  private constructor(db: Store, { planner, follower, sharing }: Planners, progress: PlanProgress) {
    this.#db = db
    this.#planner = planner
    this.#follower = follower
    this.#sharing = sharing
    this.#progress = progress
    lookOnNews(sharing, 'planning', () => this.#lookElsewhere())
  }

  static async open(db: Store, planners: Planners): Promise<PlanningDesk> {
    const last = await lastPlanRow(db)
    const desk = new PlanningDesk(db, planners, {
      ...IDLE,
      planId: last?.id ?? null,
      seconds: last?.seconds ?? 0,
      message: last?.state === 'interrupted' ? last.message : null,
    })
    await desk.#lookElsewhere()
    return desk
  }

  /** Throws 'plan-running' where one is being made, at whichever server. */
  async start(now: FloorNow, options: { seconds: number; seed: number }): Promise<PlanProgress> {
    await this.#lookElsewhere()
    if (this.#run !== null || this.#isStarting) {
      throw new LastmetreError('plan-running', 'A plan is being made already.')
    }
    this.#isStarting = true
    try {
      const planId = await this.#db.transaction().execute((trx) => beginPlan(trx, now, options))
      const job = this.#planner(planId, planInputOf(now.works), { ...options, ...this.#watching(planId) })
      const keeper = bestPlanKeeper(this.#db, planId)
      this.#begin({ planId, job, result: job.result, keeper, best: null }, options.seconds)
      if (this.#sharing.shared) this.#sharing.publish('planning', { planId })
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

  /** Stops what was asked for here and waits until it is stored. */
  async close(): Promise<void> {
    this.#isClosed = true
    const job = this.#run?.job
    if (job?.leave) job.leave()
    else job?.stop()
    await this.#ended
    this.#listeners.clear()
  }

  /** What another server asked for is shown here as well. */
  async #lookElsewhere(): Promise<void> {
    if (this.#follower === null || this.#run !== null || this.#isStarting || this.#isClosed) return
    let planId = 0
    const followed = await this.#follower({
      onProgress: (step) => this.#step(planId, step),
      onStopAsked: () => this.#stopping(planId),
    })
    if (followed === null) return
    // another look, or a start, was faster
    if (this.#run !== null || this.#isStarting || this.#isClosed) return followed.leave()
    planId = followed.planId
    this.#begin(
      { planId, job: followed, result: followed.result, keeper: null, best: null },
      followed.seconds,
    )
  }

  #watching(planId: number) {
    return {
      onProgress: (step: PlanningProgress) => this.#step(planId, step),
      onStopAsked: () => this.#stopping(planId),
    }
  }

  #begin(run: Run, seconds: number): void {
    this.#run = run
    this.#tell({ ...IDLE, state: 'running', planId: run.planId, seconds, phase: 'first plan' })
    this.#ended = this.#finish(run)
  }

  #tell(change: Partial<PlanProgress>): void {
    this.#progress = { ...this.#progress, ...change }
    for (const listener of this.#listeners) listener(this.#progress)
  }

  #step(planId: number, step: PlanningProgress): void {
    if (this.#run?.planId !== planId) return
    if (step.plan !== null) {
      this.#run.best = step.plan
      this.#run.keeper?.offer(step.plan)
    }
    this.#tell(shownStep(step))
  }

  #stopping(planId: number): void {
    if (this.#run?.planId === planId && this.#progress.state === 'running') this.#tell({ state: 'stopping' })
  }

  /** Where another server asked for it the end is stored all the same: that one may be gone. */
  async #finish(run: Run): Promise<void> {
    const { planId, keeper } = run
    try {
      const plan = await run.result
      if (plan === null) return
      await keeper?.close()
      const state = plan.stopped ? 'stopped' : 'done'
      await endPlan(this.#db, planId, { state, planJson: JSON.stringify(plan), message: null })
      this.#run = null
      this.#tell(shownEnd(plan))
    } catch (error) {
      if (keeper === null && !(error instanceof LastmetreError)) {
        // the database did not answer; the plan goes on, and is looked for again
        this.#run = null
        return this.#tell(IDLE)
      }
      const message = error instanceof Error ? error.message : String(error)
      await keeper?.close().catch(() => undefined)
      const planJson = run.best === null ? null : JSON.stringify(run.best)
      // Where the store itself failed there is nowhere to note it but the screen.
      await endPlan(this.#db, planId, { state: 'failed', planJson, message }).catch(() => undefined)
      this.#run = null
      this.#tell({ state: 'failed', message })
    }
  }
}
