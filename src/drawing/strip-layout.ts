import type { LengthUm } from '../quantity/length.ts'

/** Sizes of one strip drawing; everything follows from the width and the size of its letters. */
export interface StripLayout {
  width: number
  /** Size of the letters; nothing in the drawing is smaller. */
  text: number
  /** Left and right edge of the whole drum's band. */
  left: number
  right: number
  bandHeight: number
  lengthUm: LengthUm
}

/** Room to the left for the OUT flag and the names of the rulers, to the right for the mark of an open end. */
const LEFT_EM = 6
const RIGHT_EM = 3.6

export function stripLayout(width: number, text: number, lengthUm: LengthUm): StripLayout {
  const left = LEFT_EM * text
  const right = Math.max(width - RIGHT_EM * text, left + text)
  return { width, text, left, right, bandHeight: 3.4 * text, lengthUm }
}

/** Where a place on the drum lies in the drawing. */
export function xOf(layout: StripLayout, placeUm: LengthUm): number {
  if (layout.lengthUm <= 0) return layout.left
  return layout.left + ((layout.right - layout.left) * placeUm) / layout.lengthUm
}
