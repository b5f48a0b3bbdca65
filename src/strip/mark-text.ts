import type { LengthUm } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import { markAtPlace, type UsableDrum } from './usable.ts'

/** The jacket mark that stands at a place, to a tenth of its unit; null where nothing is printed. */
export function markText(usable: UsableDrum, placeUm: LengthUm): string | null {
  const reading = markAtPlace(usable, placeUm)
  return reading ? `${tenths(reading.mark)} ${reading.segment.printUnit}` : null
}

/** "from mark 1204 to 1104 m"; says so where the stretch has no print or runs over a restart of it. */
export function marksText(usable: UsableDrum, fromUm: LengthUm, toUm: LengthUm): string {
  // an end that lies on a restart is read from inside the stretch
  const inwardsUm = Math.min(1000, (toUm - fromUm) / 2)
  const from = markAtPlace(usable, fromUm + inwardsUm)
  const to = markAtPlace(usable, toUm - inwardsUm)
  if (!from && !to) return 'no print'
  const a = from ? figureText(from.mark, 1) : 'where there is no print'
  const b = to ? figureText(to.mark, 1) : 'where there is no print'
  const unit = to?.segment.printUnit ?? from?.segment.printUnit
  if (from?.segment === to?.segment) return `from mark ${a} to ${b} ${unit}`
  return `from ${from ? `mark ${a} ${from.segment.printUnit}` : a} to ${to ? `mark ${b} ${unit}` : b}, over a restart of the print`
}

/** With its nought, so that marks stand under each other in a list; never "-0.0". */
function tenths(mark: number): string {
  return (Math.round(mark * 10) / 10 + 0).toFixed(1)
}
