import type { LengthUm } from '../quantity/length.ts'
import type { StripMark, StripRow } from './state-rows.ts'

/** Where a mark stands on a strip: `segment` counts the stretches without a restart from 1, along the coordinate. */
export interface MarkPlace {
  segment: number
  placeUm: LengthUm
}

/** A mark read at an end may lie so many printed units beyond the last one of its segment: it is read, not measured. */
const OVERSHOOT_UNITS = 1

/**
 * All places where a printed mark stands, linear within each segment, in metres and in feet alike; one that lies on the
 * joint of two segments counts once. Empty where it stands nowhere.
 */
export function placesOfMark(strip: Pick<StripRow, 'marks'>, mark: number): MarkPlace[] {
  const inside = placesWithin(strip.marks, mark, 0)
  return inside.length > 0 ? inside : placesWithin(strip.marks, mark, OVERSHOOT_UNITS)
}

/** The mark that stands at a place; null where nothing is printed. */
export function markAt(strip: Pick<StripRow, 'marks'>, placeUm: LengthUm): number | null {
  for (const { fromUm, toUm, markFrom, markTo } of strip.marks)
    if (placeUm >= fromUm && placeUm <= toUm && markFrom !== null && markTo !== null)
      return markFrom + ((placeUm - fromUm) / (toUm - fromUm)) * (markTo - markFrom)
  return null
}

function placesWithin(marks: StripMark[], mark: number, overshoot: number): MarkPlace[] {
  const places: MarkPlace[] = []
  marks.forEach((segment, index) => {
    const placeUm = placeIn(segment, mark, overshoot)
    if (placeUm !== null && !places.some((p) => p.placeUm === placeUm))
      places.push({ segment: index + 1, placeUm })
  })
  return places
}

/** Place of a mark within one segment, clamped to its ends; null where it does not stand there. */
export function placeIn(segment: StripMark, mark: number, overshoot = OVERSHOOT_UNITS): LengthUm | null {
  const { fromUm, toUm, markFrom, markTo } = segment
  if (markFrom === null || markTo === null || markFrom === markTo) return null
  if (mark < Math.min(markFrom, markTo) - overshoot || mark > Math.max(markFrom, markTo) + overshoot)
    return null
  const share = (mark - markFrom) / (markTo - markFrom)
  return Math.round(fromUm + Math.min(1, Math.max(0, share)) * (toUm - fromUm))
}
