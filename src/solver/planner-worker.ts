import { setPriority } from 'node:os'
import { parentPort, Worker, workerData } from 'node:worker_threads'
import type { TypeResults } from '../plan/plan-search.ts'
import { thrownAs } from '../quantity/errors.ts'
import { compileSparingly } from './compile-sparingly.ts'
import { type Partner, planShare, planWorks } from './plan-works.ts'
import { type PlanningMessage, type PlanningOrder, WORKER_HEAP_MB } from './start-planning.ts'

/** Of 19; the other threads of a server stand at 0. */
const PLANNER_NICE = 10

/** A shell around the planner: the thread it runs in, and the one it starts for the other half of the types. */
const order = workerData as PlanningOrder
// On Linux this speaks of the calling thread alone: who books at a line does not wait for the planner.
if (process.platform === 'linux') setPriority(PLANNER_NICE)
compileSparingly()
const stopWord = new Int32Array(order.stopFlag)
const startedMs = performance.now()
const clock = {
  seconds: order.seconds,
  work: order.work,
  seed: order.seed,
  nowMs: () => performance.now() - startedMs,
  stopped: () => Atomics.load(stopWord, 0) !== 0,
}

function startPartner(): Partner {
  let found: TypeResults = new Map()
  const worker = new Worker(new URL(import.meta.url), {
    workerData: { ...order, half: true } satisfies PlanningOrder,
    resourceLimits: { maxOldGenerationSizeMb: WORKER_HEAP_MB },
  })
  worker.on('message', (results: TypeResults) => {
    for (const [type, result] of results) found.set(type, result)
  })
  const ended = new Promise<void>((resolve, reject) => {
    worker.on('error', reject)
    worker.on('exit', () => resolve())
  })
  // a failure is told where the partner is waited for
  ended.catch(() => undefined)
  return {
    take: () => {
      const taken = found
      found = new Map()
      return taken
    },
    finished: () => ended,
  }
}

function send(message: PlanningMessage): void {
  parentPort?.postMessage(message)
}

if (order.half) {
  await planShare(order.input, { ...clock, onResults: (results) => parentPort?.postMessage(results) })
} else {
  try {
    const plan = await planWorks(order.input, {
      ...clock,
      partner: startPartner(),
      onProgress: (progress) => send({ kind: 'progress', progress }),
    })
    send({ kind: 'result', plan })
  } catch (error) {
    send({ kind: 'failed', ...thrownAs(error) })
  }
}
