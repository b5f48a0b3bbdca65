import type { Interval, PieceInterval } from '../strip/cut-plan.ts'
import type { Shape, Stroke } from './shape.ts'
import { type StripLayout, xOf } from './strip-layout.ts'

const BAR_WIDTH = 5
const OLD_PLACE: Stroke = { tone: 'ink', width: 1.2, dash: [5, 4] }
/** The dashed outline of an old place reaches beyond the band by this, so that it is not taken for one. */
const BEYOND_EM = 0.3

/** What a mounting does otherwise than another one of the same drum. */
export interface StripChanges {
  /** Places in the list of intervals: pieces that lie elsewhere, are new, or are another order's. */
  changed: Set<number>
  /** Where pieces lay that are gone from there. */
  oldPlaces: PieceInterval[]
}

/** Compares a mounting with the one that was before; null where the drum was in none. */
export function stripChanges(intervals: Interval[], before: Interval[] | null): StripChanges {
  const old = (before ?? []).filter((i): i is PieceInterval => i.use === 'piece')
  const changed = new Set<number>()
  for (const [i, interval] of intervals.entries()) {
    if (interval.use !== 'piece') continue
    if (!old.some((o) => sameCut(o, interval))) changed.add(i)
  }
  const oldPlaces = old.filter((o) => !intervals.some((i) => i.use === 'piece' && sameCut(o, i)))
  return { changed, oldPlaces }
}

/** Pieces of one order line are alike, so their numbers are no matter. */
function sameCut(a: PieceInterval, b: PieceInterval): boolean {
  return (
    a.fromUm === b.fromUm &&
    a.toUm === b.toUm &&
    a.order === b.order &&
    a.orderLine === b.orderLine &&
    a.count === b.count
  )
}

/** A bar at the left edge of each changed band, and the old places as dashed outlines. */
export function changeMarks(
  layout: StripLayout,
  intervals: Interval[],
  { changed, oldPlaces }: StripChanges,
  bandY: number,
): Shape[] {
  const { bandHeight, text } = layout
  const beyond = BEYOND_EM * text
  const shapes: Shape[] = oldPlaces.map((old) => {
    const x = xOf(layout, old.fromUm)
    const width = Math.max(1, xOf(layout, old.toUm) - x)
    return {
      kind: 'rect',
      x,
      y: bandY - beyond,
      width,
      height: bandHeight + 2 * beyond,
      fill: 'none',
      stroke: OLD_PLACE,
    }
  })
  for (const i of changed) {
    const x = xOf(layout, intervals[i]!.fromUm) + BAR_WIDTH / 2
    shapes.push({
      kind: 'polyline',
      points: [
        [x, bandY],
        [x, bandY + bandHeight],
      ],
      stroke: { tone: 'ink', width: BAR_WIDTH },
      of: { interval: i },
    })
  }
  return shapes
}
