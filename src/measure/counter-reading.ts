import type { CounterCheck } from './counter-check.ts'

/** One check as a ratio: what the counter showed too much. */
export interface CounterReading {
  date: string
  /** Whole days since 1970-01-01. */
  day: number
  cable: string
  /** Counter/tape − 1: above nought the counter reads long and a customer would be short. */
  errorRatio: number
  tapeM: number
}

/** Beyond this a check is no check of a counter: another unit was written, or another length taped. */
export const NO_COUNTER_ERRS_SO_RATIO = 0.05

export interface SetAside {
  check: CounterCheck
  why: string
}

export interface CounterReadings {
  /** By date; within a date as in the file. */
  readings: CounterReading[]
  /** Checks that say nothing of the counter, with the reason. */
  setAside: SetAside[]
}

/** The checks of one line. What cannot be an error of a counter is set aside and said, never averaged in. */
export function counterReadings(line: string, checks: CounterCheck[]): CounterReadings {
  const readings: CounterReading[] = []
  const setAside: SetAside[] = []
  for (const check of checks) {
    if (check.line !== line) continue
    const day = dayOf(check.date)
    const errorRatio = check.counterM / check.tapeM - 1
    const why = whyNot(check, day, errorRatio)
    if (why) setAside.push({ check, why })
    else readings.push({ date: check.date, day, cable: check.cable, errorRatio, tapeM: check.tapeM })
  }
  return { readings: readings.sort((a, b) => a.day - b.day), setAside }
}

function whyNot({ counterM, tapeM, date }: CounterCheck, day: number, errorRatio: number): string | null {
  if (!(counterM > 0) || !(tapeM > 0) || !Number.isFinite(errorRatio))
    return 'counter_m and tape_m must both be above nought; write the check again'
  if (Number.isNaN(day)) return `date ${date} is no date; write it YYYY-MM-DD`
  if (Math.abs(errorRatio) <= NO_COUNTER_ERRS_SO_RATIO) return null
  const mixed = [0.3048, 1 / 0.3048].find(
    (f) => Math.abs(counterM / tapeM / f - 1) <= NO_COUNTER_ERRS_SO_RATIO,
  )
  return mixed
    ? `counter_m ${counterM} and tape_m ${tapeM} differ as feet and metres do; write both in metres`
    : `counter_m ${counterM} and tape_m ${tapeM} differ by more than ${NO_COUNTER_ERRS_SO_RATIO * 100} %; tape the length again`
}

/** Days since 1970-01-01 of a date written YYYY-MM-DD (a time after it is left out). */
export function dayOf(date: string): number {
  return Date.parse(`${date.slice(0, 10)}T00:00:00Z`) / 86_400_000
}
