import type { OrderLine } from '../order/order-line.ts'
import { UM_PER_MM } from '../quantity/length.ts'
import type { Connector } from './connector.ts'
import { type CutAllowance, cutAllowance } from './cut-allowance.ts'
import { leadCutUm } from './cut-length.ts'
import type { CutRecord } from './cut-record.ts'
import { type CutTolerance, toleranceOf } from './cut-tolerance.ts'

/** How long to cut the cable of one lead. */
export interface CutFigures {
  /** Gives the ordered length on the mean. */
  cutLengthMm: number
  /** What the cutter's stop is set to: longer where nothing may be short. */
  stopMm: number
  /** By the sheets of the connectors alone: what the plan counts with. */
  sheetCutMm: number
  allowance: CutAllowance
  tolerance: CutTolerance
  definition: OrderLine['lengthDefinition']
  says: string
}

/** So many standard deviations of single leads inside the lower limit: one lead in 40 beyond it. */
const INSIDE_SDS = 2
/** Leads of a matched set are cut so much longer where their tolerance has room, to be trimmed to the shortest. An estimate of ours. */
const TO_TRIM_MM = 10

/**
 * The ordered length less the allowance of its two connectors as learned: `leadCutUm` with the sheet values, moved by what the leads of
 * the works differ from them. A visible jacket has no connector in its length (rule R4 of the contract of plans).
 */
export function cutFigures(line: OrderLine, a: Connector, b: Connector, records: CutRecord[]): CutFigures {
  const allowance = cutAllowance(records, line.cable, a, b)
  const tolerance = toleranceOf(line)
  const { lengthDefinition: definition } = line
  const sheetCutMm = leadCutUm(line.lengthUm, definition, a, b) / UM_PER_MM
  const cutLengthMm =
    definition === 'jacket' ? sheetCutMm : sheetCutMm + allowance.sheetMm - allowance.allowanceMm
  const inside = INSIDE_SDS * Math.hypot(allowance.spreadMm, allowance.standardUncertaintyMm)
  const { minusMm, plusMm } = tolerance
  const middle = Math.max(0, (plusMm - minusMm) / 2)
  const notShort = Math.min(Math.max(0, inside - minusMm), middle)
  const toTrim = line.matchedSet === null ? 0 : Math.min(TO_TRIM_MM, Math.max(0, plusMm - inside))
  const above = Math.max(notShort, toTrim)
  const stopMm = cutLengthMm + above
  return {
    ...{ cutLengthMm, stopMm, sheetCutMm, allowance, tolerance, definition },
    says: saysOf(stopMm, above, toTrim > notShort, minusMm, allowance.spreadMm),
  }
}

function saysOf(stopMm: number, above: number, toTrim: boolean, minusMm: number, spreadMm: number): string {
  const stop = `set the stop to ${stopMm.toFixed(1)} mm`
  if (above === 0) return stop
  const why = toTrim
    ? 'so that the leads of the set can be trimmed to one delay'
    : `since ${minusMm === 0 ? 'none may be short' : `only ${minusMm} mm may be missing`} and single leads differ by ±${(2 * spreadMm).toFixed(1)} mm`
  return `${stop}: ${above.toFixed(1)} mm longer than the ordered length needs, ${why}`
}
