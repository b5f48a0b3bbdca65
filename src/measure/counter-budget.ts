import type { CableType } from '../cable/cable-type.ts'
import { umFromM } from '../quantity/length.ts'
import type { CableOffsets } from './cable-offset.ts'
import type { CounterCheck } from './counter-check.ts'
import type { CounterTrend } from './counter-trend.ts'
import { type TapeClass, tapeLimitUm } from './instrument-limit.ts'
import { combinedUncertainty, rectangular, type UncertaintyPart } from './uncertainty.ts'

/** One line of the budget, for one piece of the length asked about. */
export interface BudgetTerm extends UncertaintyPart {
  name: string
  /** Alike for every piece (a batch's mean has it too), or anew for each piece. */
  reach: 'every piece' | 'each piece'
  source: string
}

/** What of a line the budget needs. */
export interface CounterLine {
  wheelCircMm: number
  pulsesPerTurn: number
  stopSdM: number
}

/** What the works can change; each with its source beside it. */
export interface CounterDefaults {
  tapeClass: TapeClass
  /** How far the tension may be from its set value, ±, as a share of it. */
  tensionBandRatio: number
  /** How far the cable may run askew to the measuring wheel beyond what the checks saw, degree. */
  pathAngleDeg: number
}

export const COUNTER_DEFAULTS: CounterDefaults = { tapeClass: 'II', tensionBandRatio: 0.2, pathAngleDeg: 0.5 }

/** Linear expansion per kelvin: copper of the cable, steel of the tape (common figures; NIST TN 1900 example E13 measures 17.3e-6 for copper). */
export const COPPER_EXPANSION_PER_K = 17e-6
export const STEEL_EXPANSION_PER_K = 11.5e-6
const REFERENCE_C = 20

export interface CounterBudget {
  pieceM: number
  terms: BudgetTerm[]
  /** Of one piece, all terms. */
  piece: UncertaintyPart
  /** Of what every piece has alike: what the mean of a large batch keeps. */
  common: UncertaintyPart
}

/**
 * Standard uncertainty, as a ratio, of the length of a piece whose counter was corrected by the trend's error (GUM, JCGM 100:2008; type A
 * from the checks, type B from limits taken as rectangular). Wear of the wheel, the path as it is, mean slip and the radius of
 * the cable are in the checks and so in the first term; they are not counted again.
 */
export function counterBudget(
  pieceM: number,
  question: {
    trend: CounterTrend
    offsets: CableOffsets
    checks: CounterCheck[]
    line: CounterLine
    cable: Pick<CableType, 'cable' | 'lineTensionN' | 'stretchEaKn'>
    defaults: CounterDefaults
  },
): CounterBudget {
  const terms = [...commonTerms(question), ...pieceTerms(pieceM, question.trend, question.line)]
  return {
    pieceM,
    terms,
    piece: combinedUncertainty(terms),
    common: combinedUncertainty(terms.filter((t) => t.reach === 'every piece')),
  }
}

function commonTerms({
  trend,
  offsets,
  checks,
  cable,
  defaults,
}: Parameters<typeof counterBudget>[1]): BudgetTerm[] {
  const { referenceTapeM, freedom } = trend
  const every = (
    name: string,
    standard: number,
    source: string,
    of = Number.POSITIVE_INFINITY,
  ): BudgetTerm => ({
    name,
    standard,
    freedom: of,
    reach: 'every piece',
    source,
  })
  const offset = offsets.cables.find((c) => c.cable === cable.cable)
  const tapeUm = umFromM(referenceTapeM)
  const meanSquareK =
    checks.reduce((sum, c) => sum + (c.tempC - REFERENCE_C) ** 2, 0) / Math.max(1, checks.length)
  const strain = cable.lineTensionN / (cable.stretchEaKn * 1000)
  return [
    every(
      'error of the counter by its checks (wheel wear, path, mean slip)',
      trend.today.standardRatio,
      'local linear filter over the tape checks, type A',
      freedom,
    ),
    every(
      'wear of the wheel until the next check',
      rectangular(Math.abs(trend.slopePerDay ?? 0) * (trend.checkGapDays ?? 0)),
      'drift per day over the usual time between checks',
    ),
    every(
      'this cable type against all types',
      offset ? offset.offsetStandardRatio : offsets.betweenRatio,
      'spread of the checks between cable types, type A',
      freedom,
    ),
    every(
      'tape',
      rectangular(tapeLimitUm(defaults.tapeClass, tapeUm) / tapeUm),
      `permissible error of a class ${defaults.tapeClass} tape over ${referenceTapeM} m, UK SI 2016/1153 schedule 1I`,
    ),
    every(
      'temperature, copper against steel tape',
      (COPPER_EXPANSION_PER_K - STEEL_EXPANSION_PER_K) * Math.sqrt(meanSquareK),
      'expansion 17 and 11.5 per million and kelvin; temperatures of the checks against 20 °C',
    ),
    every(
      'stretch, tension off its set value',
      rectangular(defaults.tensionBandRatio * strain),
      `line tension over axial stiffness; tension ±${defaults.tensionBandRatio * 100} % (estimate)`,
    ),
    every(
      'path askew to the wheel',
      rectangular(1 - Math.cos((defaults.pathAngleDeg * Math.PI) / 180)),
      `cosine of ±${defaults.pathAngleDeg}° beyond what the checks saw (estimate)`,
    ),
  ]
}

function pieceTerms(pieceM: number, trend: CounterTrend, line: CounterLine): BudgetTerm[] {
  const pulseM = line.wheelCircMm / 1000 / line.pulsesPerTurn
  const each = (name: string, standard: number, source: string, freedom: number): BudgetTerm => ({
    name,
    standard,
    freedom,
    reach: 'each piece',
    source,
  })
  return [
    each(
      'slip from piece to piece',
      trend.slipRatio,
      'part of the spread of the checks that a longer tape does not lessen, type A',
      trend.freedom,
    ),
    // a pulse at the start and one at the stop, each rectangular over its width
    each(
      'counter step',
      pulseM / Math.sqrt(6) / pieceM,
      'one pulse at each end, lines.json',
      Number.POSITIVE_INFINITY,
    ),
    each('spread of the stop', line.stopSdM / pieceM, 'stop_sd_m, lines.json', Number.POSITIVE_INFINITY),
  ]
}
