import type { SignalNews, SignalSample } from './signal-news.ts'

/** Readings of one signal that may wait; a flood on one topic pushes nothing out of another one. */
export const MAX_WAITING_SAMPLES = 256
/** Other news that may wait. */
const MAX_WAITING_OTHERS = 256
const MAX_QUEUES = 256

interface Queue {
  samples: SignalSample[]
  dropped: number
}

/** Holds news between the readers and whoever takes it: bounded, the oldest goes first, and that is said. */
export class WaitingNews {
  readonly #queues = new Map<string, Queue>()
  #others: SignalNews[] = []

  put(news: SignalNews): void {
    if (news.kind !== 'sample') {
      this.#others.push(news)
      if (this.#others.length > MAX_WAITING_OTHERS) this.#others.shift()
      return
    }
    const { line, device, quantity } = news.sample
    const key = `${line} ${device} ${quantity}`
    let queue = this.#queues.get(key)
    if (!queue) {
      if (this.#queues.size >= MAX_QUEUES) return
      queue = { samples: [], dropped: 0 }
      this.#queues.set(key, queue)
    }
    queue.samples.push(news.sample)
    if (queue.samples.length > MAX_WAITING_SAMPLES) {
      queue.samples.shift()
      queue.dropped++
    }
  }

  /** Everything that waits, in the order of its arrival. */
  take(): SignalNews[] {
    const news = this.#others
    this.#others = []
    for (const queue of this.#queues.values()) {
      const first = queue.samples[0]
      if (first === undefined) continue
      const { line, device, quantity, arrivalMs } = first
      if (queue.dropped > 0)
        news.push({ kind: 'dropped', line, device, quantity, atMs: arrivalMs, count: queue.dropped })
      for (const sample of queue.samples) news.push({ kind: 'sample', sample })
      queue.samples = []
      queue.dropped = 0
    }
    return news.sort((a, b) => timeOf(a) - timeOf(b))
  }
}

function timeOf(news: SignalNews): number {
  return news.kind === 'sample' ? news.sample.arrivalMs : news.atMs
}
