import { parentPort, workerData } from 'node:worker_threads'
import { thrownAs } from '../quantity/errors.ts'
import type { WorkerAnswer } from './in-worker.ts'

/** The worker's half of inWorker(): does the work on what was sent and posts what comes of it. */
export async function answerFromWorker<Data, T>(work: (data: Data) => Promise<T>): Promise<void> {
  await post(work, workerData as Data)
}

/** The worker's half of KeptThread: does one order after the other. */
export function answerOrders<Order, Value>(work: (order: Order) => Promise<Value>): void {
  parentPort?.on('message', (order: Order) => void post(work, order))
}

async function post<Data, T>(work: (data: Data) => Promise<T>, data: Data): Promise<void> {
  let answer: WorkerAnswer<T>
  try {
    answer = { value: await work(data) }
  } catch (error) {
    answer = { refused: thrownAs(error) }
  }
  parentPort?.postMessage(answer)
}
