import { Worker } from 'node:worker_threads'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'

export interface PlanningProgress {
  phase: 'first plan' | 'bound' | 'improving' | 'done'
  elapsedMs: number
  /** Best so far; null before the first plan. */
  unservedMicro: number | null
  costMicro: number | null
  boundUnservedMicro: number | null
  boundCostMicro: number | null
  /** A new best plan, checked by plan/verify; null when only the bound or the clock moved. */
  plan: Plan | null
}

export interface PlanningOptions {
  seconds: number
  /** Ends planning after so much work instead. */
  work?: number | null
  seed: number
  onProgress: (progress: PlanningProgress) => void
}

export interface PlanningJob {
  /** The final plan, or the best one when stopped. Rejects when the worker fails. */
  result: Promise<Plan>
  /** Asks for the best plan so far; the worker is ended after a grace of two seconds. */
  stop(): void
}

/** What the worker is given. */
export interface PlanningOrder {
  input: PlanInput
  seconds: number
  work: number | null
  seed: number
  /** One 32-bit word; anything but 0 asks the planner to come to an end. */
  stopFlag: SharedArrayBuffer
  /** The thread is the partner, which plans half of the types. */
  half?: boolean
}

export type PlanningMessage =
  | { kind: 'progress'; progress: PlanningProgress }
  | { kind: 'result'; plan: Plan }
  | { kind: 'failed'; code: ErrorCode; message: string }

/** How long a planner that was asked to end may take before its thread is ended. */
const STOP_GRACE_MS = 2_000
/** How far a planner may run over its time before it is asked to end. */
const OVERRUN_MS = 5_000
/** Nor may a planner that goes by work done run longer than this. */
const LONGEST_MS = 3_600_000
/** Heap of the worker; the linear-programming library holds its own memory beside it. */
export const WORKER_HEAP_MB = 320

/** A worker is plain JavaScript: run from source, the one of the last build is taken. */
function workerFile(): URL {
  const fromSource = import.meta.url.endsWith('.ts')
  return new URL(fromSource ? '../../dist/solver/planner-worker.js' : './planner-worker.js', import.meta.url)
}

/** Plans a works in a worker thread, so that the caller stays alive. */
export function startPlanning(input: PlanInput, options: PlanningOptions): PlanningJob {
  const stopFlag = new SharedArrayBuffer(4)
  const { seconds, work = null, seed } = options
  const order: PlanningOrder = { input, seconds, work, seed, stopFlag }
  const worker = new Worker(workerFile(), {
    workerData: order,
    resourceLimits: { maxOldGenerationSizeMb: WORKER_HEAP_MB },
  })
  let best: Plan | null = null
  let graceTimer: NodeJS.Timeout | undefined
  const stop = () => {
    if (graceTimer !== undefined) return
    Atomics.store(new Int32Array(stopFlag), 0, 1)
    graceTimer = setTimeout(() => void worker.terminate(), STOP_GRACE_MS)
  }
  const overrunTimer = setInterval(
    () => {
      if (best !== null) stop()
    },
    work === null ? seconds * 1_000 + OVERRUN_MS : LONGEST_MS,
  )

  const result = new Promise<Plan>((resolve, reject) => {
    const failed = (error: LastmetreError) => {
      reject(error)
      void worker.terminate()
    }
    worker.on('message', (message: PlanningMessage) => {
      if (message.kind === 'progress') {
        best = message.progress.plan ?? best
        options.onProgress(message.progress)
      } else if (message.kind === 'result') {
        resolve(message.plan)
        void worker.terminate()
      } else failed(new LastmetreError(message.code, message.message))
    })
    worker.on('error', (error) =>
      failed(new LastmetreError('unexpected', `Planning failed: ${error.message}.`)),
    )
    worker.on('exit', () => {
      // After terminate() a worker ends with code 1, which is no crash. A promise settles once only, so
      // this speaks for a worker that ended without an answer.
      if (best !== null && graceTimer !== undefined) resolve({ ...best, stopped: true })
      else if (graceTimer !== undefined) {
        reject(new LastmetreError('stopped-early', 'Planning was stopped before a first plan was found.'))
      } else reject(new LastmetreError('unexpected', 'The planner ended without a plan.'))
    })
  }).finally(() => {
    clearTimeout(graceTimer)
    clearInterval(overrunTimer)
  })
  return { result, stop }
}
