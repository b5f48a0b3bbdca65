import type { TurnClock } from '../plan/bound-tree.ts'
import type { LinearProgramEngine } from '../plan/linear-program.ts'
import { type Plan, tellsOfCost } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { PlanSearch, type TypeResults } from '../plan/plan-search.ts'
import { highsEngine } from './highs-engine.ts'
import type { PlanningProgress } from './start-planning.ts'

/** Kept of the time for the last bounds and for putting the last plan together; more where there are many drums. */
const TAIL_MS = 300
const TAIL_MS_A_DRUM = 4
/** A plan is put together and shown no more often than this, and no more often than costs a twentieth of the time. */
const SHOW_MS = 400
const SHOW_SHARE = 20

/** A thread that plans the other half of the types. */
export interface Partner {
  /** What it has found since last asked. */
  take(): TypeResults
  /** Resolves when it has said its last. */
  finished(): Promise<void>
}

export interface PlanWorksOptions {
  seconds: number
  /** Where set, planning ends after so much work and not by time: the same seed and work make the same plan. */
  work?: number | null
  seed: number
  /** Milliseconds since the start. */
  nowMs: () => number
  stopped: () => boolean
  onProgress: (progress: PlanningProgress) => void
  /** null: this thread plans every type. */
  partner?: Partner | null
  /** For many small plans after each other: loading the library takes longer than one of them. null: loaded for this plan. */
  engine?: LinearProgramEngine | null
}

/** Plans a works in this thread, with a partner's help where there is one. */
export async function planWorks(input: PlanInput, options: PlanWorksOptions): Promise<Plan> {
  const { seed, stopped, onProgress, partner = null, engine = null } = options
  const threads = partner ? 2 : 1
  const search = new PlanSearch(input, engine ?? (await highsEngine()), seed, { index: 0, of: threads })
  const { clock, nowMs, seconds } = clockOf(options, input.drums.length, search, threads)
  const show = (phase: PlanningProgress['phase'], plan: Plan) =>
    onProgress(progressOf(phase, plan, options.nowMs()))
  try {
    // a plan there must be, however short the time
    search.atOnce()
    show('first plan', search.plan(false))
    search.first(clock.late)
    let showAtMs = 0
    do {
      const fromMs = nowMs()
      if (fromMs < showAtMs) continue
      await breath()
      if (partner) search.adopt(partner.take())
      const plan = search.plan(false)
      show(Number.isFinite(plan.bound.costMicro) ? 'improving' : 'bound', plan)
      showAtMs = nowMs() + Math.max(SHOW_MS, SHOW_SHARE * (nowMs() - fromMs))
    } while (!clock.late() && search.turn(clock, nowMs, seconds))
    search.settle(clock.leftMs)
    if (partner) {
      await partner.finished()
      search.adopt(partner.take())
    }
    const plan = search.plan(stopped())
    show('done', plan)
    return plan
  } finally {
    search.dispose()
  }
}

/** The partner's side: plans its half of the types and hands over what it finds. */
export async function planShare(
  input: PlanInput,
  options: Pick<PlanWorksOptions, 'seconds' | 'work' | 'seed' | 'nowMs' | 'stopped'> & {
    onResults: (results: TypeResults) => void
  },
): Promise<void> {
  const { seed, onResults } = options
  const search = new PlanSearch(input, await highsEngine(), seed, { index: 1, of: 2 })
  const { clock, nowMs, seconds } = clockOf(options, input.drums.length, search, 2)
  try {
    search.first(clock.late)
    let shownAt = Number.NEGATIVE_INFINITY
    do {
      if (nowMs() - shownAt < SHOW_MS) continue
      onResults(search.results())
      shownAt = nowMs()
      await breath()
    } while (!clock.late() && search.turn(clock, nowMs, seconds))
    search.settle(clock.leftMs)
    onResults(search.results())
  } finally {
    search.dispose()
  }
}

/** The clock that planning goes by: the time, or work done, a unit of which counts as a millisecond. */
function clockOf(
  options: Pick<PlanWorksOptions, 'seconds' | 'work' | 'nowMs' | 'stopped'>,
  drums: number,
  search: PlanSearch,
  threads: number,
): { clock: TurnClock; nowMs: () => number; seconds: number } {
  const { work = null, stopped } = options
  const timed = work === null
  const seconds = timed ? options.seconds : work / threads / 1000
  const nowMs = timed ? options.nowMs : () => search.work
  const endMs = seconds * 1000 - (timed ? TAIL_MS + drums * TAIL_MS_A_DRUM : 0)
  const leftMs = () => (stopped() ? 0 : endMs - nowMs())
  const turnLeftMs = () => Number.POSITIVE_INFINITY
  return { clock: { leftMs, turnLeftMs, late: () => leftMs() <= 0, timed }, nowMs, seconds }
}

/** Lets messages in and out of the thread. */
function breath(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve))
}

function progressOf(phase: PlanningProgress['phase'], plan: Plan, elapsedMs: number): PlanningProgress {
  return {
    phase,
    elapsedMs,
    unservedMicro: plan.unservedMicro,
    costMicro: plan.costMicro,
    boundUnservedMicro: plan.bound.unservedMicro,
    boundCostMicro: tellsOfCost(plan) ? plan.bound.costMicro : null,
    plan,
  }
}
