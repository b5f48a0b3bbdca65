import type { WorkerUtils } from 'graphile-worker'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import {
  type PlanningJob,
  type PlanningOptions,
  type PlanningProgress,
  startPlanning,
} from '../solver/start-planning.ts'
import type { Store } from '../store/dialect.ts'
import {
  addPlanningJob,
  askToStop,
  endPlanningJob,
  markForsaken,
  nextTurn,
  runningJob,
  seePlanningJob,
} from '../store/planning-jobs.ts'
import { planOfJson } from './stored-plan.ts'

/** Name of the task in the queue of jobs. */
export const PLANNING_TASK = 'plan'
/** How often a server looks how far a worker is. */
const LOOK_MS = 250
/** A worker that is not heard of for so long is given up; it beats every second. */
const SILENT_MS = 15_000
/** How often a job is given to a worker. */
const MAX_TURNS = 3
/** How long a job may wait for a worker that is free. */
const WAIT_MS = 600_000

/** How a plan is made: in this process, or by a worker somewhere. */
export type Planner = (
  planId: number,
  input: PlanInput,
  options: Pick<PlanningOptions, 'seconds' | 'seed' | 'onProgress'> & Pick<Watching, 'onStopAsked'>,
) => PlanningJob

export const planHere: Planner = (_planId, input, options) => startPlanning(input, options)

/** A plan that another server asked for. */
export interface FollowedPlan {
  planId: number
  seconds: number
  /** Null where it was left. */
  result: Promise<Plan | null>
  /** Stops it, for all. */
  stop(): void
  /** Follows it no more; it goes on. */
  leave(): void
}

type Watching = Pick<PlanningOptions, 'onProgress'> & {
  /** Whichever server it was asked at. */
  onStopAsked: () => void
}

/** The plan that is being made for whichever server; null where none is. */
export type PlanFollower = (watching: Watching) => Promise<FollowedPlan | null>

export type PlanningEnd = { plan: Plan } | { failed: { code: ErrorCode; message: string } }

/** Plans through the queue in PostgreSQL, so that several machines share the work; `close` ends what it holds open. */
export async function openPlanningQueue(
  db: Store,
  url: string,
): Promise<{ planner: Planner; follower: PlanFollower; close(): Promise<void> }> {
  // Loaded only where there is a PostgreSQL.
  const { makeWorkerUtils } = await import('graphile-worker')
  const utils = await makeWorkerUtils({ connectionString: url })
  await utils.migrate()
  await markForsaken(db, SILENT_MS)
  return {
    planner: (planId, input, options) => new QueuedPlan(db, utils, planId, options).start(input, options),
    follower: async (watching) => {
      const running = await runningJob(db)
      return running && new QueuedPlan(db, utils, running.plan_id, watching).follow(running.seconds)
    },
    close: async () => utils.release(),
  }
}

/** One plan that a worker makes, watched by the server that asked for it and by the others. */
class QueuedPlan {
  readonly #db: Store
  readonly #utils: WorkerUtils
  readonly #planId: number
  readonly #watching: Watching
  #best: Plan | null = null
  #step = 0
  #bestStep = 0
  #waitedMs = 0
  #isStopped = false
  #isLeft = false

  constructor(db: Store, utils: WorkerUtils, planId: number, watching: Watching) {
    this.#db = db
    this.#utils = utils
    this.#planId = planId
    this.#watching = watching
  }

  start(input: PlanInput, effort: Pick<PlanningOptions, 'seconds' | 'seed'>): PlanningJob {
    const begun = this.#begin(input, effort)
    const watched = async () => {
      await begun
      const end = await this.#watch()
      if (end === null) throw new LastmetreError('unexpected', 'A plan that was asked for here was left.')
      return end
    }
    return { result: watched(), stop: () => this.#stop(begun) }
  }

  follow(seconds: number): FollowedPlan {
    return {
      ...{ planId: this.#planId, seconds, result: this.#watch() },
      stop: () => this.#stop(Promise.resolve()),
      leave: () => {
        this.#isLeft = true
      },
    }
  }

  #stop(begun: Promise<void>): void {
    this.#isStopped = true
    // Where the database fails, the watch fails of the same and says so.
    void begun.then(() => askToStop(this.#db, this.#planId)).catch(() => undefined)
  }

  async #begin(
    input: PlanInput,
    { seconds, seed }: Pick<PlanningOptions, 'seconds' | 'seed'>,
  ): Promise<void> {
    await addPlanningJob(this.#db, { plan_id: this.#planId, input: JSON.stringify(input), seconds, seed })
    await this.#enqueue(1)
  }

  async #enqueue(turn: number): Promise<void> {
    // A job whose worker was killed stays locked in the queue for hours; another turn is another job.
    await this.#utils.addJob(PLANNING_TASK, { planId: this.#planId, turn }, { maxAttempts: 1 })
  }

  /** Null where it was left. */
  async #watch(): Promise<Plan | null> {
    for (;;) {
      await new Promise((resolve) => setTimeout(resolve, LOOK_MS))
      if (this.#isLeft) return null
      const end = await this.#look()
      if (end === null) continue
      if ('plan' in end) return end.plan
      throw new LastmetreError(end.failed.code, end.failed.message)
    }
  }

  async #look(): Promise<PlanningEnd | null> {
    const seen = await seePlanningJob(this.#db, this.#planId, this.#bestStep)
    if (seen.ended !== null) return JSON.parse(seen.ended) as PlanningEnd
    if (seen.progress !== null && seen.step > this.#step) {
      this.#step = seen.step
      const plan = seen.best === null ? null : planOfJson(seen.best)
      if (plan !== null) {
        this.#best = plan
        this.#bestStep = seen.best_step
      }
      this.#watching.onProgress({ ...(JSON.parse(seen.progress) as PlanningProgress), plan })
    }
    if (seen.stop_asked === 1) {
      this.#isStopped = true
      this.#watching.onStopAsked()
    }
    const isGone = seen.silent_ms !== null && seen.silent_ms > SILENT_MS
    if (this.#isStopped) return seen.silent_ms === null || isGone ? this.#endStopped(seen.turn) : null
    if (isGone) return this.#passOn(seen.turn)
    this.#waitedMs = seen.silent_ms === null ? this.#waitedMs + LOOK_MS : 0
    if (this.#waitedMs <= WAIT_MS) return null
    return this.#giveUp(seen.turn, {
      code: 'unexpected',
      message: 'No worker was free for this plan. Start one: npx lastmetre worker.',
    })
  }

  /** Nobody is at work on it who could still answer. */
  async #endStopped(turn: number): Promise<PlanningEnd | null> {
    if (this.#best !== null) return this.#end(turn, { plan: { ...this.#best, stopped: true } })
    return this.#giveUp(turn, {
      code: 'stopped-early',
      message: 'Planning was stopped before a first plan was found.',
    })
  }

  async #passOn(turn: number): Promise<PlanningEnd | null> {
    if (turn >= MAX_TURNS) {
      return this.#giveUp(turn, {
        code: 'unexpected',
        message: `The worker that made this plan ended, ${MAX_TURNS} times.`,
      })
    }
    if (await nextTurn(this.#db, this.#planId, turn)) await this.#enqueue(turn + 1)
    return null
  }

  #giveUp(turn: number, failed: { code: ErrorCode; message: string }): Promise<PlanningEnd | null> {
    return this.#end(turn, { failed })
  }

  /** Null where a worker ended it or took it meanwhile: the next look sees. */
  async #end(turn: number, end: PlanningEnd): Promise<PlanningEnd | null> {
    return (await endPlanningJob(this.#db, this.#planId, turn, JSON.stringify(end))) ? end : null
  }
}
