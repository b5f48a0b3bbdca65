import type { CounterCheck } from '../measure/counter-check.ts'
import { type CounterCorrection, counterCorrection } from '../measure/counter-correction.ts'
import { type CounterReading, counterReadings, dayOf } from '../measure/counter-reading.ts'
import { counterTrend, type FittedTrend, type TrendAt, trendPath } from '../measure/counter-trend.ts'
import { errorAt } from '../measure/look-back.ts'

/** One check beside the day that is asked about. */
export interface NearCheck {
  date: string
  cable: string
  errorRatio: number
}

/** What a line's counter was worth on one day. */
export interface CounterThatDay {
  line: string
  date: string
  /** Error as all checks together, also later ones, tell it for that day; null below three checks. */
  errorRatio: number | null
  standardRatio: number | null
  /** Factor of a two-sided 95 % band. */
  factor95: number | null
  /** The mean of the last ten checks up to that day, by which readings were corrected; null below two. */
  correction: CounterCorrection | null
  before: NearCheck | null
  after: NearCheck | null
}

/** The trend of one counter, fitted once for any number of days. */
export interface FittedCounter {
  line: string
  checks: CounterCheck[]
  readings: CounterReading[]
  fit: FittedTrend | null
  /** At each day with a check, and today. */
  path: TrendAt[]
}

/** Fits the trend through all checks of a line up to today: costly, so whoever asks for many pieces keeps it. */
export function fittedCounter(line: string, all: CounterCheck[], today: string): FittedCounter {
  const checks = all.filter((c) => c.line === line)
  const { readings } = counterReadings(line, checks)
  const fit = counterTrend(readings, dayOf(today))
  const path = fit ? [...trendPath(fit).inHindsight, fit.trend.today] : []
  return { line, checks, readings, fit, path }
}

/** The counter on a day, YYYY-MM-DD: between days with checks in a straight line. */
export function counterThatDay(
  { line, checks, readings, fit, path }: FittedCounter,
  date: string,
): CounterThatDay {
  const day = dayOf(date)
  const near = (r: CounterReading | undefined): NearCheck | null =>
    r ? { date: r.date, cable: r.cable, errorRatio: r.errorRatio } : null
  const at = path.length > 0 ? errorAt(path, day) : null
  return {
    ...{ line, date },
    errorRatio: at?.errorRatio ?? null,
    standardRatio: at?.standardRatio ?? null,
    factor95: fit?.trend.factor95 ?? null,
    correction: counterCorrection(
      line,
      checks.filter((c) => c.date <= date),
    ),
    before: near(readings.findLast((r) => r.day <= day)),
    after: near(readings.find((r) => r.day > day)),
  }
}
