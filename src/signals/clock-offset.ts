import { median } from '../line/replay/robust.ts'

/** Readings that the difference rests on; this and the limits below are estimates. */
const WINDOW = 51
/** Fewer say nothing about a clock. */
const LEAST = 5
/** A message cannot come before it was sent: beyond this the device's clock was put forward, ms. */
const EARLY_MS = 250
/** From here on a person is told, ms. */
const CLOCK_NOTICE_MS = 2_000

/** How far a device's clock is ahead of ours: the median of (its time − our time) over the last readings. */
export class ClockOffset {
  #differences: number[] = []
  #medianMs = 0

  /** A reading that was measured at `sourceMs` by the device's clock and came at `arrivalMs` by ours. */
  add(sourceMs: number, arrivalMs: number): void {
    const difference = sourceMs - arrivalMs
    if (this.#differences.length >= LEAST && difference > this.#medianMs + EARLY_MS) this.#differences = []
    this.#differences.push(difference)
    if (this.#differences.length > WINDOW) this.#differences.shift()
    this.#medianMs = median(this.#differences)
  }

  /** Begin anew: the clock was changed. */
  forget(): void {
    this.#differences = []
    this.#medianMs = 0
  }

  /** 0 where nothing is known. */
  get medianMs(): number {
    return this.#medianMs
  }

  /** Median of how far single readings lie from it. */
  get spreadMs(): number {
    if (this.#differences.length === 0) return 0
    return median(this.#differences.map((d) => Math.abs(d - this.#medianMs)))
  }

  /**
   * The difference where it is worth telling, ms; else null. Lateness on the way looks like a clock that is behind, but the
   * quickest message shows how late they are: the greatest difference must be out as well.
   */
  get worthTellingMs(): number | null {
    if (this.#differences.length < LEAST) return null
    const ms = this.#medianMs
    if (Math.abs(ms) <= CLOCK_NOTICE_MS) return null
    return ms > 0 || Math.max(...this.#differences) < -CLOCK_NOTICE_MS ? ms : null
  }
}
