import type { CableType } from '../cable/cable-type.ts'
import { mFromUm } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import { printedSpanUm } from '../strip/usable.ts'
import { weightWitness } from '../strip/weight-witness.ts'
import type { Notice } from './problem.ts'
import type { Works } from './works.ts'

/** Book and marks further apart than this are shown (works folder contract: “more than about 1 %”). */
const APART_RATIO = 0.01

/** Book length, marks and weight are three witnesses of one length; where they disagree it is shown, for the person to judge. */
export function witnessNotices(works: Works, drumRows: readonly number[]): Notice[] {
  const cables = new Map(works.cables.map((c) => [c.cable, c]))
  const segments = new Map<string, MarkSegment[]>()
  for (const segment of works.marks) {
    const known = segments.get(segment.drum)
    if (known) known.push(segment)
    else segments.set(segment.drum, [segment])
  }
  const notices: Notice[] = []
  for (const [i, drum] of works.drums.entries()) {
    const row = drumRows[i] ?? null
    const marks = marksText(drum, segments.get(drum.drum) ?? [])
    if (marks) notices.push({ file: 'drums.csv', row, column: 'book_m', text: marks, kind: 'witness-marks' })
    const weight = weightText(drum, cables.get(drum.cable)!)
    if (weight)
      notices.push({ file: 'drums.csv', row, column: 'gross_kg', text: weight, kind: 'witness-weight' })
  }
  return notices
}

function marksText(drum: Drum, segments: MarkSegment[]): string | null {
  let spanUm = 0
  for (const segment of segments) {
    const span = printedSpanUm(segment)
    if (span === null) return null
    spanUm += span
  }
  if (Math.abs(spanUm - drum.bookUm) <= APART_RATIO * spanUm) return null
  const planned = segments.length === 1 ? ' The shorter of the two is planned with.' : ''
  return `${drum.drum}: ${mText(drum.bookUm)} in the books, ${mText(spanUm)} by its marks.${planned}`
}

/** Weight only flags: (gross − tare) over the mass per metre, beyond 1 % plus the scale plus the tolerance of the mass. */
function weightText(drum: Drum, cable: CableType): string | null {
  const { weighedUm, allowedUm, apart } = weightWitness(drum, cable.massKgKm)
  if (!apart) return null
  return (
    `${drum.drum}: ${mText(drum.bookUm)} in the books, ${mText(weighedUm)} by weight; ` +
    `${mText(allowedUm)} is what scale and mass tolerance explain.`
  )
}

function mText(lengthUm: number): string {
  return `${mFromUm(lengthUm).toFixed(1)} m`
}
