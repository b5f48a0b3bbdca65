import type { SignalSample } from './signal-news.ts'

/** When a spark fired, by our clock: some time in between. */
export interface SparkWindow {
  fromMs: number
  toMs: number
}

/**
 * Finds sparks in what a tester shows: a count that rises with each, or 1 while it fires and 0 before. The same figure again
 * (a message sent twice, what the broker has retained) is nothing new; the first one ever seen says only where to count from.
 */
export class SparkCount {
  #value: number | null = null
  #seenMs = 0

  /** `atMs`: when the sample was measured, by our clock; `pollMs`: how often it is read or sent. */
  add({ value, sourceMs }: SignalSample, atMs: number, pollMs: number): SparkWindow | null {
    const before = this.#value
    const seenMs = this.#seenMs
    this.#value = value
    this.#seenMs = Math.max(atMs, seenMs)
    if (before === null) return null
    const fired = value > before || (value < before && value > 0)
    if (!fired) return null
    // A message with a time of its own was sent when it fired; one that is fetched, some time since the last look.
    if (sourceMs !== null) return { fromMs: atMs - pollMs / 2, toMs: atMs + pollMs / 2 }
    return { fromMs: Math.min(seenMs, atMs), toMs: atMs }
  }
}
