import { REPLAY_LIMITS } from '../line/replay/run-setup.ts'

/** Where the counter stood at a time. */
export interface TrackPoint {
  /** By our clock. */
  ms: number
  /** As read. */
  countM: number
  /** Counted since the track began, falls and jumps bridged. */
  totalM: number
  /** What of `totalM` was bridged and may be wrong by as much, m. */
  doubtM: number
}

export interface CounterStep {
  /** What happened between the point before and this one. */
  kind: 'plain' | 'fell' | 'jumped' | 'late'
  /** The line was running. */
  running: boolean
  fromM: number
}

/** Four minutes at ten readings a second. */
const MAX_POINTS = 2_400
/** A shift of short coils. */
const MAX_STOPS = 512
/** A belt that rolls back at the stop counts down by so much at most, m. A fall beyond it is a reset. Estimate. */
const ROLL_BACK_M = 0.5
/** A step upward beyond the highest speed, or the one that is shown, by this factor and length is no travel. Estimates. */
const JUMP_FACTOR = 1.5
const JUMP_M = 1

/** The counter over the last minutes, made into cable that went by whatever resets there were. */
export class CounterTrack {
  readonly #points: TrackPoint[] = []
  /** Where each standstill began. */
  readonly #stops: TrackPoint[] = []
  #stands = false
  readonly #maxMPerS: number

  constructor(maxMPerS: number) {
    this.#maxMPerS = maxMPerS
  }

  /** Adds a reading; `speedMPerS`: by another device, null where none says it. A reading older than the last is left out. */
  add(ms: number, countM: number, speedMPerS: number | null): CounterStep {
    const last = this.#points.at(-1)
    // Operators set the counter to nought at each cut, so that what it shows first has gone by since then.
    if (!last) {
      this.#put({ ms, countM, totalM: countM, doubtM: 0 })
      return { kind: 'plain', running: false, fromM: countM }
    }
    if (ms <= last.ms) return { kind: 'late', running: false, fromM: last.countM }
    const seconds = (ms - last.ms) / 1000
    const step = countM - last.countM
    const counting = Math.max(0, this.rateMPerS(last.ms))
    const rate = speedMPerS ?? counting
    // Both: a speed that was read a moment later may belong to the next start.
    const running = rate > REPLAY_LIMITS.standstillMS && counting > REPLAY_LIMITS.standstillMS
    const mostM = JUMP_FACTOR * Math.max(this.#maxMPerS, rate) * seconds + JUMP_M
    const plausible = step >= -ROLL_BACK_M && step <= mostM
    if (plausible) {
      this.#put({ ms, countM, totalM: last.totalM + step, doubtM: last.doubtM })
      return { kind: 'plain', running, fromM: last.countM }
    }
    const bridgeM = running ? rate * seconds : Math.abs(countM) < ROLL_BACK_M ? Math.max(0, countM) : 0
    this.#put({ ms, countM, totalM: last.totalM + bridgeM, doubtM: last.doubtM + bridgeM })
    return { kind: step < 0 ? 'fell' : 'jumped', running, fromM: last.countM }
  }

  get last(): TrackPoint | null {
    return this.#points.at(-1) ?? null
  }

  /** Straight between readings; `gapMs` is the time between the two. Null before the first reading that is kept. */
  at(ms: number): { totalM: number; doubtM: number; gapMs: number } | null {
    const i = this.#after(ms)
    const after = this.#points[i]
    const before = this.#points[i - 1]
    if (after === undefined) {
      const last = this.#points.at(-1)
      return last ? { totalM: last.totalM, doubtM: last.doubtM, gapMs: ms - last.ms } : null
    }
    if (after.ms === ms) return { totalM: after.totalM, doubtM: after.doubtM, gapMs: 0 }
    if (before === undefined) return null
    const gapMs = after.ms - before.ms
    const share = (ms - before.ms) / gapMs
    const totalM = before.totalM + share * (after.totalM - before.totalM)
    return { totalM, doubtM: after.doubtM, gapMs }
  }

  /** Speed over the two readings up to a time, m/s; 0 where there are no two. */
  rateMPerS(ms: number): number {
    const i = this.#after(ms)
    const to = this.#points[Math.min(i, this.#points.length - 1)]
    const from = this.#points[Math.min(i, this.#points.length - 1) - 1]
    return to && from ? ((to.totalM - from.totalM) * 1000) / (to.ms - from.ms) : 0
  }

  /** The last standstill that began up to `ms`; null where none is known. Known for longer than the points are. */
  lastStandstill(ms: number): TrackPoint | null {
    for (let i = this.#stops.length - 1; i >= 0; i--) if (this.#stops[i]!.ms <= ms) return this.#stops[i]!
    return null
  }

  /** Index of the first point at or after a time. */
  #after(ms: number): number {
    let [low, high] = [0, this.#points.length]
    while (low < high) {
      const middle = (low + high) >> 1
      if (this.#points[middle]!.ms < ms) low = middle + 1
      else high = middle
    }
    return low
  }

  #put(point: TrackPoint): void {
    const last = this.#points.at(-1)
    const metres = last ? Math.abs(point.totalM - last.totalM) : 0
    const stands = last !== undefined && metres * 1000 <= REPLAY_LIMITS.standstillMS * (point.ms - last.ms)
    if (stands && !this.#stands) this.#stops.push(last)
    if (this.#stops.length > MAX_STOPS) this.#stops.shift()
    this.#stands = stands
    this.#points.push(point)
    if (this.#points.length > MAX_POINTS) this.#points.shift()
  }
}
