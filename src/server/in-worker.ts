import { Worker } from 'node:worker_threads'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'

export type WorkerAnswer<T> = { value: T } | { refused: { code: ErrorCode; message: string } }

/** A worker is plain JavaScript: run from source, the one of the last build is taken. */
export function workerFile(name: string): URL {
  const fromSource = import.meta.url.endsWith('.ts')
  return new URL(fromSource ? `../../dist/server/${name}.js` : `./${name}.js`, import.meta.url)
}

/**
 * Has a worker of this folder do one thing and ends it, so that the server answers meanwhile. A worker that
 * takes too long or too much memory is ended and `exceeded` thrown.
 */
export async function inWorker<T>(
  name: string,
  data: unknown,
  limits: { maxMs: number; maxHeapMb: number; exceeded: LastmetreError },
): Promise<T> {
  const worker = new Worker(workerFile(name), {
    workerData: data,
    resourceLimits: { maxOldGenerationSizeMb: limits.maxHeapMb },
  })
  const timer = setTimeout(() => void worker.terminate(), limits.maxMs)
  try {
    return await new Promise<T>((resolve, reject) => {
      worker.on('message', (answer: WorkerAnswer<T>) => {
        if ('value' in answer) resolve(answer.value)
        else reject(new LastmetreError(answer.refused.code, answer.refused.message))
      })
      worker.on('error', () => reject(limits.exceeded))
      worker.on('exit', () => reject(limits.exceeded))
    })
  } finally {
    clearTimeout(timer)
    void worker.terminate()
  }
}
