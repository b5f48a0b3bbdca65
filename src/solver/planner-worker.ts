import { parentPort, workerData } from 'node:worker_threads'
import { LastmetreError } from '../quantity/errors.ts'
import { planWorks } from './plan-works.ts'
import type { PlanningMessage, PlanningOrder } from './start-planning.ts'

/** A shell around the planner: the thread it runs in. */
const order = workerData as PlanningOrder
const stopWord = new Int32Array(order.stopFlag)
const startedMs = performance.now()

function send(message: PlanningMessage): void {
  parentPort?.postMessage(message)
}

try {
  const plan = await planWorks(order.input, {
    seconds: order.seconds,
    seed: order.seed,
    nowMs: () => performance.now() - startedMs,
    stopped: () => Atomics.load(stopWord, 0) !== 0,
    onProgress: (progress) => send({ kind: 'progress', progress }),
  })
  send({ kind: 'result', plan })
} catch (error) {
  send({
    kind: 'failed',
    code: error instanceof LastmetreError ? error.code : 'unexpected',
    message: error instanceof Error ? error.message : String(error),
  })
}
