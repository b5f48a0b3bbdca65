import type { CounterCorrection } from '../measure/counter-correction.ts'
import { figureText, lengthText } from '../quantity/length-text.ts'
import { eurFromMicro } from '../quantity/money.ts'
import type { Interval } from '../strip/cut-plan.ts'
import type { FaultZone, UsableDrum } from '../strip/usable.ts'
import { weightWitness } from '../strip/weight-witness.ts'
import type { GuardWarning } from './guard-warning.ts'

const percent = (ratio: number, decimals = 3) => `${figureText(ratio * 100, decimals)} %`

/** How the presets were corrected, in one sentence; said on every sheet of a line. */
export function correctionText(line: string, correction: CounterCorrection | null): string {
  if (!correction)
    return `The error of the counter of ${line} is not known: fewer than two checks are recorded. The presets are not corrected; check the counter with the tape first.`
  const { errorRatio, checks, from, to, standardErrorRatio } = correction
  const reads = errorRatio >= 0 ? 'long' : 'short'
  return (
    `The counter of ${line} reads ${percent(Math.abs(errorRatio))} ${reads} (mean of its last ${checks} checks, ${from} to ${to}, ` +
    `standard error ${percent(standardErrorRatio)}). The presets are corrected for it: do not correct again. Counter to nought after each cut.`
  )
}

export function guardText(warning: GuardWarning): string {
  return (
    `The length guard of ${percent(warning.guardRatio)} is smaller than two standard errors of the checks of ${warning.line} ` +
    `(${percent(warning.twoStandardErrorsRatio)}): of the ${lengthText(warning.deliveredUm, 'm', 0)} that this plan declares on it, ` +
    `${lengthText(warning.shortUm, 'm', 1)} could be missing, ${eurFromMicro(warning.shortMicro).toFixed(2)} EUR of material.`
  )
}

/** What is doubtful about this drum, its ends, its print and its faults. */
export function drumWarnings(usable: UsableDrum, intervals: Interval[], massKgKm: number): string[] {
  return [
    ...endWarnings(usable, intervals),
    ...witnessWarnings(usable, massKgKm),
    ...printWarnings(usable, intervals),
    ...faultWarnings(usable, intervals),
  ]
}

function endWarnings(usable: UsableDrum, intervals: Interval[]): string[] {
  const { endCaps } = usable.drum
  // a drum that is mounted again has the end that the sheet before gave it
  if (endCaps === 'both' || (intervals[0]?.fromUm ?? 0) > 0) return []
  const which = {
    outer_missing: 'The outer end has',
    inner_missing: 'The inner end has',
    none: 'Both ends have',
  }[endCaps]
  return [
    `${which} no cap: look for tarnish under the jacket before the first piece; the cut-back is in the list.`,
  ]
}

function witnessWarnings(usable: UsableDrum, massKgKm: number): string[] {
  const { drum, lengthUm } = usable
  const warnings: string[] = []
  if (usable.scale !== 1)
    warnings.push(
      `Book and marks disagree: the book says ${lengthText(drum.bookUm, 'm', 1)}, the marks ${lengthText(lengthUm, 'm', 1)}. Planned with the shorter; report the mark at the inner end.`,
    )
  const { apart, weighedUm } = weightWitness(drum, massKgKm)
  if (apart)
    warnings.push(
      `Book and weight disagree: the book says ${lengthText(drum.bookUm, 'm', 1)}, the weight ${lengthText(weighedUm, 'm', 1)}. Watch the inner end: the last piece may not be there.`,
    )
  return warnings
}

function printWarnings(usable: UsableDrum, intervals: Interval[]): string[] {
  const fromUm = intervals[0]?.fromUm ?? 0
  const restarts = usable.segments
    .slice(1)
    .map((s) => s.fromUm * usable.scale)
    .filter((place) => place > fromUm)
  const warnings = restarts.map((place) => {
    const at = intervals.findIndex((x) => x.fromUm < place && x.toUm > place)
    const cut = at < 0 ? '' : `, in cut ${at + 1}`
    return `The print restarts ${lengthText(place, 'm', 1)} from the outer end${cut}: marks beyond it count anew.`
  })
  if (usable.segments.some((s) => s.printUnit === 'none'))
    warnings.push('Part of this drum has no print: there the counter is the only witness.')
  return warnings
}

function faultWarnings(usable: UsableDrum, intervals: Interval[]): string[] {
  return usable.zones.flatMap((zone) => {
    const name = `Fault ${zone.fault.fault} (${zone.fault.code}${zone.fault.what ? `, ${zone.fault.what}` : ''})`
    return intervals.flatMap((interval, i): string[] => {
      if (!touches(zone, interval)) return []
      if (interval.use === 'piece')
        return [
          `${name} stays in cut ${i + 1}: order ${interval.order}/${interval.orderLine} allows it. Say so on the label if it is seen.`,
        ]
      if (interval.use !== 'remnant') return []
      return [
        interval.putup === null
          ? `${name} stays in the rest.`
          : `${name} goes with cut ${i + 1}: note it on the remnant's card.`,
      ]
    })
  })
}

function touches(zone: FaultZone, interval: Interval): boolean {
  return zone.fromUm < interval.toUm && zone.toUm > interval.fromUm
}
