import type { LengthUm } from '../quantity/length.ts'
import type { DrumRow, OuterEnd, StretchRow } from './state-rows.ts'

/** Places on a strip's coordinate and true lengths on a drum: the coordinate times the drum's ratio. */

type OnStrip = Pick<DrumRow, 'fromUm' | 'toUm' | 'ratio' | 'outer'>

export function outerUm(drum: Omit<OnStrip, 'ratio'>): LengthUm {
  return drum.outer === 'from' ? drum.fromUm : drum.toUm
}

export function innerUm(drum: Omit<OnStrip, 'ratio'>): LengthUm {
  return drum.outer === 'from' ? drum.toUm : drum.fromUm
}

export function otherEnd(outer: OuterEnd): OuterEnd {
  return outer === 'from' ? 'to' : 'from'
}

/** True length of a stretch, whole µm. */
export function trueUm(stretch: Pick<StretchRow, 'fromUm' | 'toUm' | 'ratio'>): LengthUm {
  return Math.round((stretch.toUm - stretch.fromUm) * stretch.ratio)
}

/** The place so far inward of another on a drum, `lengthUm` being a true length; may lie beyond its inner end. */
export function inwardOf(drum: OnStrip, placeUm: LengthUm, lengthUm: LengthUm): LengthUm {
  const coordinateUm = Math.round(lengthUm / drum.ratio)
  return drum.outer === 'from' ? placeUm + coordinateUm : placeUm - coordinateUm
}

/** How far a place lies inward of another on a drum, as a true length; negative where it lies outward. */
export function inwardUm(drum: OnStrip, fromUm: LengthUm, toUm: LengthUm): LengthUm {
  return Math.round((drum.outer === 'from' ? toUm - fromUm : fromUm - toUm) * drum.ratio)
}

/** The place itself, or the inner end of the drum where it lies beyond. */
export function withinDrum(drum: OnStrip, placeUm: LengthUm): LengthUm {
  return drum.outer === 'from' ? Math.min(placeUm, drum.toUm) : Math.max(placeUm, drum.fromUm)
}

/** Two places in the order of the coordinate. */
export function between(aUm: LengthUm, bUm: LengthUm): { fromUm: LengthUm; toUm: LengthUm } {
  return { fromUm: Math.min(aUm, bUm), toUm: Math.max(aUm, bUm) }
}
