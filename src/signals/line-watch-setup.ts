import type { LengthUm } from '../quantity/length.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { SignalQuantity } from '../works/more-signals.ts'
import type { SignalSample } from './signal-news.ts'

/** What is known of a line before it says anything. */
export interface LineWatchSetup {
  line: string
  /** Spark head to cutter along the cable, and the length of the electrode, m. */
  toCutterM: number
  electrodeM: number
  maxMPerS: number
  /** Counter/tape − 1 by the line's checks; 0 where nothing is known. */
  errorRatio: number
  /** How often each quantity comes, ms. */
  pollMs: ReadonlyMap<SignalQuantity, number>
  /** Which are asked for, and so answer at each poll; the others come when there is something to say. */
  polled: ReadonlySet<SignalQuantity>
}

/** A spark on the drum as it stood when it fired. */
export interface FoundSpark {
  /** Running number on this line since the watch began; the same again is the same place, better known. */
  n: number
  atMs: number
  /** True metres inward of the outer end, and greatest error on either side. */
  fromM: number
  uncM: number
}

export type NoticeCode =
  | 'clock'
  | 'reset'
  | 'jump'
  | 'silent'
  | 'back'
  | 'runs-at-nought'
  | 'stands'
  | 'differs'
  | 'unplaced'
  | 'unreadable'
  | 'dropped'
  | 'lost'

export type WatchFinding =
  | { kind: 'notice'; code: NoticeCode; atMs: number; text: string }
  | { kind: 'spark'; spark: FoundSpark }
  /** Everything that was read from 10 s before to 10 s after a spark. */
  | { kind: 'raw'; n: number; samples: SignalSample[] }

export const QUANTITY_WORDS: Record<SignalQuantity, string> = {
  counter_m: 'counter',
  speed_m_min: 'speed',
  spark_event: 'spark tester',
  tension_n: 'tension',
  dancer_pct: 'dancer',
  diameter_mm: 'diameter',
  clock: 'clock',
}

/** Metres as whole micrometres; a place before the outer end is at it. */
export function placeUm(metres: number): LengthUm {
  return Math.max(0, Math.round(metres * UM_PER_M))
}
