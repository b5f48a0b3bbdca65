import { Worker } from 'node:worker_threads'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import { type WorkerAnswer, workerFile } from './in-worker.ts'

interface Limits {
  maxHeapMb: number
  /** What is not done by then is ended with the thread. */
  maxMs: number
}

/** A worker of this folder that is started ahead and kept, so that nothing has to be loaded when it matters. It does one order after the other. */
export class KeptThread<Order, Value> {
  readonly #name: string
  readonly #limits: Limits
  #worker: Worker | null = null
  #turn: Promise<unknown> = Promise.resolve()
  #closed = false

  constructor(name: string, limits: Limits) {
    this.#name = name
    this.#limits = limits
  }

  /** Loads what an order needs, before there is one. */
  warm(): void {
    this.#worker ??= this.#start()
  }

  /** Throws what the worker refuses; 'unexpected' where it took too long or died, and the next order starts another. */
  ask(order: Order): Promise<Value> {
    // an answer does not say which order it is of
    const answer = this.#turn.then(() => this.#ask(order))
    this.#turn = answer.catch(() => undefined)
    return answer
  }

  async close(): Promise<void> {
    this.#closed = true
    await this.#end()
  }

  async #ask(order: Order): Promise<Value> {
    if (this.#closed) throw new LastmetreError('unexpected', `The ${this.#name} has ended.`)
    this.warm()
    const worker = this.#worker as Worker
    let timer: NodeJS.Timeout | undefined
    const answer = await new Promise<WorkerAnswer<Value> | null>((resolve) => {
      timer = setTimeout(() => resolve(null), this.#limits.maxMs)
      worker.once('message', resolve)
      worker.once('error', () => resolve(null))
      worker.once('exit', () => resolve(null))
      worker.postMessage(order)
    })
    clearTimeout(timer)
    for (const event of ['message', 'error', 'exit']) worker.removeAllListeners(event)
    if (answer === null) {
      await this.#end()
      throw new LastmetreError('unexpected', `The ${this.#name} took too much time or memory.`)
    }
    this.#guard(worker)
    if ('value' in answer) return answer.value
    throw new LastmetreError(answer.refused.code as ErrorCode, answer.refused.message)
  }

  /** Who waits for an answer of it is told by its exit. */
  async #end(): Promise<void> {
    const worker = this.#worker
    this.#worker = null
    await worker?.terminate()
  }

  #start(): Worker {
    const worker = new Worker(workerFile(this.#name), {
      resourceLimits: { maxOldGenerationSizeMb: this.#limits.maxHeapMb },
    })
    // an idle thread must not keep the process alive
    worker.unref()
    this.#guard(worker)
    return worker
  }

  /** Nor may one that dies between two orders bring it down. */
  #guard(worker: Worker): void {
    const forget = () => {
      if (this.#worker === worker) this.#worker = null
    }
    worker.on('error', forget)
    worker.on('exit', forget)
  }
}
