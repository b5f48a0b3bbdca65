import { parentPort } from 'node:worker_threads'
import { LastmetreError } from '../quantity/errors.ts'
import type { WorkerAnswer } from './in-worker.ts'

/** The worker's half of KeptThread: does one order after the other. */
export function answerOrders<Order, Value>(work: (order: Order) => Promise<Value>): void {
  parentPort?.on('message', async (order: Order) => {
    let answer: WorkerAnswer<Value>
    try {
      answer = { value: await work(order) }
    } catch (error) {
      const code = error instanceof LastmetreError ? error.code : 'unexpected'
      answer = { refused: { code, message: error instanceof Error ? error.message : String(error) } }
    }
    parentPort?.postMessage(answer)
  })
}
