import type { Putup } from '../putup/putup.ts'
import type { Winding, WoundState } from '../putup/winding.ts'

export interface PutupDrawingInput {
  putup: Putup
  /** Named in the title. */
  cable: string
  /** Null where nothing can be wound: then the bare put-up is drawn. */
  wound: { winding: Winding; state: WoundState; lengthM: number } | null
  /** Ties of a coil; 0 on a form. */
  ties: number
  /** Whole width of the drawing; at least about 40 letter sizes to be of use. */
  width: number
  textSize: number
}

/** Sizes of one drawing of a put-up: the cut through its axis left, the view on its end right, both to one scale. */
export interface PutupLayout {
  text: number
  /** Drawing units per mm. */
  scale: number
  /** The traverse in the cut, and the axis. */
  left: number
  right: number
  axisY: number
  /** Thickness of a flange, units; not to scale, since the works folder does not hold it. */
  flange: number
  /** Centre of the end view. */
  endX: number
  /** Largest diameter of the whole thing, mm: the flange, or the cable where it has none. */
  largestMm: number
  height: number
}

/** Columns of measures to the left of the cut, each with room for its figure. */
export const MEASURES = 3
const MEASURE_EM = 4.6
/** Room between the two views, for the measure of the free flange. */
const BETWEEN_EM = 7.5
const ABOVE_EM = 2.4
const BELOW_EM = 3
/** A drawing higher than this share of its width is made smaller instead. */
const MOST_HEIGHT = 0.6

export function putupLayout(input: PutupDrawingInput): PutupLayout {
  const { putup, wound, width, textSize: text } = input
  const woundMm = wound?.state.outerDiameterMm ?? putup.barrelMm
  const largestMm = Math.max(putup.flangeMm ?? woundMm, woundMm, putup.barrelMm)
  const flange = putup.flangeMm === null ? 0 : 0.5 * text
  const fixed = (MEASURES * MEASURE_EM + BETWEEN_EM + 0.5) * text + 2 * flange
  const across = Math.max(width - fixed, 8 * text) / (putup.traverseMm + largestMm)
  const scale = Math.min(across, (MOST_HEIGHT * width) / largestMm)
  const left = MEASURES * MEASURE_EM * text + flange
  const right = left + putup.traverseMm * scale
  const radius = (largestMm * scale) / 2
  const axisY = ABOVE_EM * text + radius
  const endX = right + flange + BETWEEN_EM * text + radius
  return {
    text,
    scale,
    left,
    right,
    axisY,
    flange,
    endX,
    largestMm,
    height: axisY + radius + BELOW_EM * text,
  }
}

/** Where the column of a measure stands, 0 innermost. */
export function measureX(layout: PutupLayout, column: number): number {
  return layout.left - layout.flange - (column + 0.55) * MEASURE_EM * layout.text
}
