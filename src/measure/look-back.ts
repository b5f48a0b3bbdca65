import type { LengthUm } from '../quantity/length.ts'
import { type CounterReading, dayOf } from './counter-reading.ts'
import type { TrendAt } from './counter-trend.ts'

/** A piece that was cut by a counter. */
export interface CutRecord {
  /** Serial, or whatever names the piece. */
  id: string
  line: string
  cable: string
  /** YYYY-MM-DD, with or without a time. */
  cutAt: string
  declaredUm: LengthUm
  /** What the counter showed when it was cut. */
  counterUm: LengthUm
}

/** The checks of one day, judged together. */
export interface CheckDay {
  date: string
  day: number
  meanRatio: number
  /** Within what is allowed of the error that was corrected for. */
  good: boolean
}

export interface SuspectCut {
  id: string
  cutAt: string
  /** By how much the piece is likely short of what was declared; nought where it is long enough. */
  shortUm: LengthUm
  /** By how much it may be short (97.7 %); null where the uncertainty of the error is not known. */
  mayBeShortUm: LengthUm | null
}

export interface LookBack {
  days: CheckDay[]
  /** The last good checks before the fault was seen; null where there are none. */
  lastGood: string | null
  /** Why what was cut since is suspect; null where nothing is. */
  reason: string | null
  suspect: SuspectCut[]
}

const TWO_STANDARDS = 2

/** Days of checks by whether the mean error of the day lies within what is allowed about the error corrected for (repeats of one day are one check). */
export function checkDays(
  readings: CounterReading[],
  correctedRatio: number,
  allowedRatio: number,
): CheckDay[] {
  const byDay = new Map<number, CounterReading[]>()
  for (const r of readings) {
    const known = byDay.get(r.day)
    if (known) known.push(r)
    else byDay.set(r.day, [r])
  }
  return [...byDay]
    .sort(([a], [b]) => a - b)
    .map(([day, of]) => {
      const meanRatio = of.reduce((sum, r) => sum + r.errorRatio, 0) / of.length
      return { date: of[0]!.date, day, meanRatio, good: Math.abs(meanRatio - correctedRatio) <= allowedRatio }
    })
}

/**
 * Each piece of a line cut since its last good check, once the latest check failed or a drift was found, with by how much it may
 * be short: true length = counter/(1 + e), e as all checks together tell it for that day, between check days in a straight line. A
 * piece cut on the day of the last good check counts as cut after it: the checks carry no time.
 */
export function lookBack(
  days: CheckDay[],
  path: TrendAt[],
  cuts: CutRecord[],
  drift: { began: string } | null,
): LookBack {
  const last = days[days.length - 1]
  if (!last || (last.good && !drift)) return { days, lastGood: last?.date ?? null, reason: null, suspect: [] }
  // a check that was called good after a drift had begun proves nothing
  const lastGood = days.findLast((d) => d.good && (drift === null || d.date < drift.began))?.date ?? null
  const since = lastGood === null ? 'none before was good' : `the last good check before was on ${lastGood}`
  const found = [
    ...(last.good ? [] : [`the check of ${last.date} failed`]),
    ...(drift === null ? [] : [`a drift began about ${drift.began}`]),
  ]
  const reason = `${found.join(' and ')}; ${since}`
  const fromDay = lastGood === null ? Number.NEGATIVE_INFINITY : dayOf(lastGood)
  const suspect = cuts.filter((cut) => dayOf(cut.cutAt) >= fromDay).map((cut) => suspectCut(cut, path))
  return { days, lastGood, reason, suspect }
}

function suspectCut(cut: CutRecord, path: TrendAt[]): SuspectCut {
  const { errorRatio, standardRatio } = errorAt(path, dayOf(cut.cutAt))
  const short = (error: number) => Math.max(0, Math.ceil(cut.declaredUm - cut.counterUm / (1 + error) - 0.01))
  return {
    id: cut.id,
    cutAt: cut.cutAt,
    shortUm: short(errorRatio),
    mayBeShortUm: Number.isNaN(standardRatio) ? null : short(errorRatio + TWO_STANDARDS * standardRatio),
  }
}

/** The error on a day by a path of at least one day: between its days in a straight line with the larger uncertainty, beyond them as at the nearest. */
export function errorAt(path: TrendAt[], day: number): TrendAt {
  const after = path.findIndex((p) => p.day >= day)
  if (after === 0) return path[0]!
  if (after < 0) return path[path.length - 1]!
  const a = path[after - 1]!
  const b = path[after]!
  const share = (day - a.day) / (b.day - a.day)
  return {
    day,
    errorRatio: a.errorRatio + share * (b.errorRatio - a.errorRatio),
    standardRatio: Math.max(a.standardRatio, b.standardRatio),
  }
}
