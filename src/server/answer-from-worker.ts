import { parentPort, workerData } from 'node:worker_threads'
import { LastmetreError } from '../quantity/errors.ts'
import type { WorkerAnswer } from './in-worker.ts'

/** The worker's half of inWorker(): does the work on what was sent and posts what comes of it. */
export async function answerFromWorker<Data, T>(work: (data: Data) => Promise<T>): Promise<void> {
  let answer: WorkerAnswer<T>
  try {
    answer = { value: await work(workerData as Data) }
  } catch (error) {
    answer = {
      refused: {
        code: error instanceof LastmetreError ? error.code : 'unexpected',
        message: error instanceof Error ? error.message : String(error),
      },
    }
  }
  parentPort?.postMessage(answer)
}
