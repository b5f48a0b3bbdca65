import type { SignalSample } from './signal-news.ts'

/** So much before and after a spark is kept with it, ms. */
const AROUND_MS = 10_000
/** Twenty seconds of seven signals at twenty a second. */
const MAX_RAW_SAMPLES = 2_800
/** Sparks whose after-time runs. */
const MAX_KEPT = 32

/** The last seconds as they came, to be kept with an event. */
export class RawSamples {
  #samples: { sample: SignalSample; ms: number }[] = []
  #kept: { n: number; atMs: number }[] = []

  add(sample: SignalSample, ms: number): void {
    this.#samples.push({ sample, ms })
    // the time before one spark and the time after it; halved at a time, since cutting one off each time is dear
    if (this.#samples.length > 2 * MAX_RAW_SAMPLES) this.#samples = this.#samples.slice(-MAX_RAW_SAMPLES)
  }

  keep(n: number, atMs: number): void {
    this.#kept.push({ n, atMs })
    if (this.#kept.length > MAX_KEPT) this.#kept.shift()
  }

  /** Those whose ten seconds are over. */
  due(nowMs: number): { n: number; samples: SignalSample[] }[] {
    const over = this.#kept.filter(({ atMs }) => nowMs - atMs > AROUND_MS)
    this.#kept = this.#kept.filter(({ atMs }) => nowMs - atMs <= AROUND_MS)
    return over.map(({ n, atMs }) => ({
      n,
      samples: this.#samples
        .filter(({ ms }) => Math.abs(ms - atMs) <= AROUND_MS)
        .map(({ sample }) => sample)
        .slice(-MAX_RAW_SAMPLES),
    }))
  }
}
