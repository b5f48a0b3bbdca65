import { sampleStats } from '../measure/sample-stats.ts'
import { straightLine } from '../measure/straight-line.ts'
import { studentTail } from '../measure/student-distribution.ts'
import { UM_PER_MM } from '../quantity/length.ts'
import type { Connector } from './connector.ts'
import type { CutRecord } from './cut-record.ts'

/** What two connectors add to a length of cable, tip to tip, with shrink-back and all that the bench does to it. */
export interface CutAllowance {
  /** What to reckon with, mm, and its standard uncertainty. */
  allowanceMm: number
  standardUncertaintyMm: number
  /** By the sheets of the connectors, and the mean of what was measured (null without any). */
  sheetMm: number
  measuredMm: number | null
  measured: number
  /** Spread of single leads about it, mm, standard deviation. */
  spreadMm: number
  /** By how much it moves, mm in 30 days; null where it cannot be told. */
  drift: { mmPer30Days: number; standardUncertaintyMm: number; proven: boolean } | null
  says: string
}

/**
 * The sheet value of a pair of connectors may be off by so much, mm, standard deviation: two ends whose strip dimensions are held to ±0.5 mm
 * (common practice of the trade), half of it taken as one standard deviation and both ends together.
 */
const SHEET_SD_MM = 0.35
/** Spread of single leads before any was measured, mm: as for the sheet value. */
const SPREAD_SD_MM = 0.35
/** So many leads the assumed spread is worth beside the measured one; an estimate of ours. */
const SPREAD_WORTH = 5
/** A drift is called proven when chance would show one as large less often than this, and not on fewer leads. */
const DRIFT_CHANCE = 0.01
const DRIFT_LEAST = 6
/** The latest leads that count: older ones were made with other connectors, tools and hands. An estimate of ours. */
const LATEST = 50
const DAY_MS = 86_400_000

/**
 * Allowance of a connector and cable pair, learned from finished leads: normal likelihood with a normal prior at the sheet value, so
 * the mean is (sheet/τ² + n·measured/σ²)/(1/τ² + n/σ²) (Gelman, Bayesian Data Analysis 2.5, from memory): the sheet while
 * data are few, the works' own leads when there are many. σ² is the measured variance drawn towards the assumed one.
 */
export function cutAllowance(records: CutRecord[], cable: string, a: Connector, b: Connector): CutAllowance {
  const sheetMm = a.tipToCableEndMm + b.tipToCableEndMm
  const ends = [a.part, b.part].sort().join(' ')
  const alike = records
    .filter((r) => r.cable === cable && [r.connA, r.connB].sort().join(' ') === ends)
    .sort((x, y) => (x.finishedDate < y.finishedDate ? -1 : x.finishedDate > y.finishedDate ? 1 : 0))
    .slice(-LATEST)
  const found = alike.map(({ lengthUm, cutUm }) => (lengthUm - cutUm) / UM_PER_MM)
  const { count, mean, sd } = sampleStats(found)
  const variance =
    (SPREAD_WORTH * SPREAD_SD_MM ** 2 + (sd === null ? 0 : (count - 1) * sd ** 2)) /
    (SPREAD_WORTH + Math.max(0, count - 1))
  const weight = { sheet: 1 / SHEET_SD_MM ** 2, measured: count / variance }
  const allowanceMm =
    count === 0
      ? sheetMm
      : (weight.sheet * sheetMm + weight.measured * mean) / (weight.sheet + weight.measured)
  const days = alike.map(({ finishedDate }) => Date.parse(finishedDate) / DAY_MS)
  const drift = driftOf(days, found)
  return {
    allowanceMm,
    standardUncertaintyMm: 1 / Math.sqrt(weight.sheet + weight.measured),
    sheetMm,
    measuredMm: count === 0 ? null : mean,
    measured: count,
    spreadMm: Math.sqrt(variance),
    drift,
    says: saysOf(count, sheetMm, mean, weight.measured / (weight.sheet + weight.measured), drift),
  }
}

function driftOf(days: number[], found: number[]): CutAllowance['drift'] {
  const line = days.length < DRIFT_LEAST ? null : straightLine(days, found)
  if (line === null) return null
  const chance =
    line.slopeSd === 0 ? (line.slope === 0 ? 1 : 0) : studentTail(line.slope / line.slopeSd, line.freedom)
  return {
    mmPer30Days: 30 * line.slope,
    standardUncertaintyMm: 30 * line.slopeSd,
    proven: chance < DRIFT_CHANCE,
  }
}

function saysOf(
  count: number,
  sheetMm: number,
  mean: number,
  share: number,
  drift: CutAllowance['drift'],
): string {
  if (count === 0) return `no finished lead of this pair is on record: the sheets' ${sheetMm.toFixed(1)} mm`
  const text = `${count} finished ${count === 1 ? 'lead shows' : 'leads show'} ${mean.toFixed(2)} mm, the sheets say ${sheetMm.toFixed(1)} mm; the leads count ${(100 * share).toFixed(0)} %`
  return drift?.proven
    ? `${text}; it drifts by ${drift.mmPer30Days >= 0 ? '+' : ''}${drift.mmPer30Days.toFixed(2)} mm in 30 days: look for the cause (tool, part, hand)`
    : text
}
