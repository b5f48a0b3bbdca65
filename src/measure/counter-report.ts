import type { CableType } from '../cable/cable-type.ts'
import { type CableOffsets, cableOffsets } from './cable-offset.ts'
import {
  COUNTER_DEFAULTS,
  type CounterBudget,
  type CounterDefaults,
  type CounterLine,
  counterBudget,
} from './counter-budget.ts'
import type { CounterCheck } from './counter-check.ts'
import { type CounterCorrection, counterCorrection } from './counter-correction.ts'
import { counterReadings, dayOf, type SetAside } from './counter-reading.ts'
import { type CounterSeal, type SealState, sealState } from './counter-seal.ts'
import { type CounterCharts, type CounterSignal, counterCharts, driftSignal } from './counter-signals.ts'
import { type CounterTrend, counterTrend, type TrendAt, trendPath } from './counter-trend.ts'
import type { StatutoryRule } from './instrument-limit.ts'
import { type InstrumentVerdict, instrumentVerdict } from './instrument-verdict.ts'
import { type LengthRule, lengthGuardRatio, shortProbability } from './length-guard.ts'
import { type CutRecord, checkDays, type LookBack, lookBack } from './look-back.ts'
import { type OverLengthCost, overLengthCost } from './over-length.ts'
import { type StartOffset, startOffset } from './start-offset.ts'
import { studentTail } from './student-distribution.ts'

/** What is asked of one counter. */
export interface CounterQuestion {
  line: string
  counter: CounterLine
  /** What the maker or the works claims the counter errs by at most. */
  claimedErrorRatio: number
  checks: CounterCheck[]
  /** Cable types that the line takes. */
  cables: Pick<CableType, 'cable' | 'lineTensionN' | 'stretchEaKn'>[]
  today: string
  guardInForceRatio: number
  /** The piece that the guard is worked out for. */
  pieceM: number
  shipped: { metresPerYear: number; eurPerM: number }[]
  /** null where cuts are not recorded. */
  cuts: CutRecord[] | null
  seal: CounterSeal | null
  /** The error that the works accepted last; null where none was. */
  acceptedRatio: number | null
  defaults?: CounterDefaults
}

export type GuardRule =
  | 'none_short'
  | 'batch_mean_prepacked'
  | 'statutory_ca219'
  | 'statutory_mid009_I'
  | 'statutory_mid009_II'
  | 'statutory_mid009_III'

const GUARD_RULES: Record<GuardRule, LengthRule> = {
  none_short: { kind: 'none short' },
  batch_mean_prepacked: { kind: 'batch mean' },
  statutory_ca219: { kind: 'statutory', rule: 'ca219' },
  statutory_mid009_I: { kind: 'statutory', rule: 'mid009-I' },
  statutory_mid009_II: { kind: 'statutory', rule: 'mid009-II' },
  statutory_mid009_III: { kind: 'statutory', rule: 'mid009-III' },
}

const LAWS: StatutoryRule[] = ['ca219', 'mid009-I', 'mid009-II', 'mid009-III']

/** Lengths that the guard is shown for beside the piece asked about, m. */
const SHOWN_LENGTHS_M = [25, 50, 100, 250, 500]

/** What is known of one counter once there are enough checks. */
export interface KnownCounter {
  trend: CounterTrend
  onTheDay: TrendAt[]
  inHindsight: TrendAt[]
  charts: CounterCharts | null
  signals: CounterSignal[]
  offsets: CableOffsets
  startOffset: StartOffset | null
  /** The uncorrected counter against the laws for instruments that are known here. */
  law: InstrumentVerdict[]
  /** Budget and guards for the cable type that needs the largest guard. */
  worstCable: string
  budget: CounterBudget
  guardRatio: Record<GuardRule, number>
  guardByCable: { cable: string; noneShortRatio: number }[]
  guardByLength: { pieceM: number; noneShortRatio: number }[]
  /** How far the correction in force lags behind the error: above nought corrected pieces are still short by it. null without a correction. */
  lagRatio: number | null
  /** Probability that a piece cut with the correction and the guard in force is short. */
  shortProbabilityInForce: number
  overLength: OverLengthCost
}

export interface CounterReport {
  line: string
  checks: number
  setAside: SetAside[]
  /** The mean of the last ten checks, by which the run sheets correct; null below two. */
  correction: CounterCorrection | null
  seal: SealState
  /** null where the checks are too few to say anything; `unknown` says why. */
  known: KnownCounter | null
  unknown: string | null
  lookBack: LookBack
  cutsRecorded: boolean
}

/** Everything the works can know of one counter on one day. */
export function counterReport(question: CounterQuestion): CounterReport {
  const { line, checks, today, acceptedRatio } = question
  const { readings: all, setAside } = counterReadings(line, checks)
  const todayDay = dayOf(today)
  const readings = all.filter((r) => r.day <= todayDay)
  const correction = counterCorrection(
    line,
    checks.filter((c) => c.date <= today),
  )
  const fit = question.cables.length === 0 ? null : counterTrend(readings, todayDay)
  const known = fit === null ? null : knownCounter(question, correction, fit)
  const began = known?.signals.find((s) => s.chart === 'cusum')?.began ?? null
  const days = checkDays(readings, acceptedRatio ?? 0, question.claimedErrorRatio)
  const cuts = question.cuts?.filter((c) => c.line === line) ?? []
  const path = known?.inHindsight ?? days.map(asTrend)
  return {
    line,
    checks: readings.length,
    setAside,
    correction,
    seal: sealState(question.seal, today),
    known,
    unknown: known ? null : whyUnknown(readings.length, question.cables.length),
    lookBack: lookBack(days, path, cuts, began ? { began } : null),
    cutsRecorded: question.cuts !== null,
  }
}

/** The mean of a day by itself, where the checks are too few to say how sure it is. */
function asTrend({ day, meanRatio }: { day: number; meanRatio: number }): TrendAt {
  return { day, errorRatio: meanRatio, standardRatio: Number.NaN }
}

function whyUnknown(checks: number, cables: number): string {
  if (cables === 0)
    return 'The line takes no cable type of cables.csv: mend od_min_mm and od_max_mm in lines.json.'
  const have = checks === 0 ? 'No check is' : checks === 1 ? 'One check is' : `${checks} checks are`
  return `${have} recorded: the error and its uncertainty need three at least. Check the counter with the tape, three times, and enter the checks.`
}

function knownCounter(
  question: CounterQuestion,
  correction: CounterCorrection | null,
  fit: NonNullable<ReturnType<typeof counterTrend>>,
): KnownCounter {
  const { trend } = fit
  const { onTheDay, inHindsight } = trendPath(fit)
  const { readings } = fit
  const offsets = cableOffsets(readings, trend, inHindsight)
  const charts = counterCharts(readings, trend, question.acceptedRatio)
  const drift = driftSignal(trend, readings[readings.length - 1]!.date)
  const used = { trend, offsets, checks: question.checks.filter((c) => c.line === question.line) }
  const budgetOf = (cable: CounterQuestion['cables'][number], pieceM: number) =>
    counterBudget(pieceM, {
      ...used,
      line: question.counter,
      cable,
      defaults: question.defaults ?? COUNTER_DEFAULTS,
    })
  const noneShort = (budget: CounterBudget) => lengthGuardRatio(GUARD_RULES.none_short, budget)
  const byCable = question.cables
    .map((cable) => {
      const budget = budgetOf(cable, question.pieceM)
      return { cable, budget, noneShortRatio: noneShort(budget) }
    })
    .sort((a, b) => b.noneShortRatio - a.noneShortRatio)
  const worst = byCable[0]!
  const { budget } = worst
  const lagRatio = trend.today.errorRatio - (correction?.errorRatio ?? 0)
  const guardRatio = Object.fromEntries(
    Object.entries(GUARD_RULES).map(([name, rule]) => [name, lengthGuardRatio(rule, budget)]),
  ) as Record<GuardRule, number>
  return {
    trend,
    onTheDay,
    inHindsight,
    charts,
    signals: [...(charts?.signals ?? []), ...(drift ? [drift] : [])],
    offsets,
    startOffset: startOffset(readings, inHindsight),
    law: LAWS.map((rule) => instrumentVerdict(rule, trend.today, question.pieceM)),
    worstCable: worst.cable.cable,
    budget,
    guardRatio,
    guardByCable: byCable.map(({ cable, noneShortRatio }) => ({ cable: cable.cable, noneShortRatio })),
    guardByLength: SHOWN_LENGTHS_M.map((pieceM) => ({
      pieceM,
      noneShortRatio: noneShort(budgetOf(worst.cable, pieceM)),
    })),
    lagRatio: correction && lagRatio,
    shortProbabilityInForce: shortProbability(question.guardInForceRatio - lagRatio, budget, studentTail),
    // the guard is k·u, so half the uncertainty needs half of it
    overLength: overLengthCost(guardRatio.none_short, guardRatio.none_short / 2, question.shipped),
  }
}
