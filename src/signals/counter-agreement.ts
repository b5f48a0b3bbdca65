import { REPLAY_LIMITS } from '../line/replay/run-setup.ts'

/** What the speed says against the counter. */
export type Disagreement =
  /** It counts and the line stands. */
  | { kind: 'runs-at-nought'; countedM: number }
  /** The line runs and it counts next to nothing. */
  | { kind: 'stands'; sinceMs: number; ranM: number; countedM: number }
  /** They differ: slip, or a wheel that lifts. */
  | { kind: 'differs'; sinceMs: number; ranM: number; countedM: number }

/** Counted at a standstill before it is told, m; and speed readings in a row. Estimates. */
const AT_NOUGHT_M = 0.5
const AT_NOUGHT_READINGS = 3
/** Over so long the way by the speed is held against the counter, ms. Estimate. */
const WINDOW_MS = 5_000
/** They may differ by so much, m and of the way: a speed display is good to a few per cent. Estimates. */
const DIFFERS_M = 0.3
const DIFFERS_RATIO = 0.03
/** It stands where it counts less than this share of a way of more than so many metres. Estimates. */
const STANDS_RATIO = 0.05
const STANDS_M = 1
/** A way by the speed that is shorter than this is none, m. Estimate. */
const NO_WAY_M = 0.05
/** With fewer readings of the speed its sum is no length. */
const LONGEST_STEP_MS = 1_500

/** Holds the speed of a line against its counter. */
export class CounterAgreement {
  #nought: { readings: number; totalM: number } | null = null
  #last: { ms: number; mPerS: number } | null = null
  #window: { ms: number; totalM: number; ranM: number } | null = null

  /** A speed at a time, and what had been counted (`totalM`) by then. */
  add(ms: number, mPerS: number, totalM: number): Disagreement | null {
    return this.#atNought(mPerS, totalM) ?? this.#running(ms, mPerS, totalM)
  }

  /** Counting was bridged or began anew. */
  restart(): void {
    this.#nought = null
    this.#window = null
    this.#last = null
  }

  #atNought(mPerS: number, totalM: number): Disagreement | null {
    if (mPerS > REPLAY_LIMITS.standstillMS) {
      this.#nought = null
      return null
    }
    // From the second reading on: between the last one of the run and the first at rest the counter still went on.
    if (this.#nought === null || this.#nought.readings < 2)
      this.#nought = { readings: (this.#nought?.readings ?? 0) + 1, totalM }
    else this.#nought.readings++
    const countedM = totalM - this.#nought.totalM
    if (this.#nought.readings < AT_NOUGHT_READINGS || countedM < AT_NOUGHT_M) return null
    this.#nought = null
    return { kind: 'runs-at-nought', countedM }
  }

  #running(ms: number, mPerS: number, totalM: number): Disagreement | null {
    const last = this.#last
    this.#last = { ms, mPerS }
    if (last === null || ms <= last.ms || ms - last.ms > LONGEST_STEP_MS) {
      this.#window = { ms, totalM, ranM: 0 }
      return null
    }
    this.#window ??= { ms: last.ms, totalM, ranM: 0 }
    this.#window.ranM += ((mPerS + last.mPerS) / 2) * ((ms - last.ms) / 1000)
    if (ms - this.#window.ms < WINDOW_MS) return null
    const { ranM, ms: sinceMs } = this.#window
    const countedM = totalM - this.#window.totalM
    this.#window = { ms, totalM, ranM: 0 }
    if (Math.abs(ranM - countedM) <= DIFFERS_M + DIFFERS_RATIO * ranM) return null
    if (ranM > STANDS_M && countedM < STANDS_RATIO * ranM) return { kind: 'stands', sinceMs, ranM, countedM }
    return ranM > NO_WAY_M ? { kind: 'differs', sinceMs, ranM, countedM } : null
  }
}
