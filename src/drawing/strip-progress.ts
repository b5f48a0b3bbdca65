import type { Interval } from '../strip/cut-plan.ts'
import type { Shape } from './shape.ts'
import { type StripLayout, xOf } from './strip-layout.ts'

/** How far a mounting is: its first `done` intervals are cut, `now` is the index of the one in hand. */
export interface StripProgress {
  done: number
  now: number | null
}

const NOW_WIDTH = 4

/** The filled bands of what is done; painted below the patterns and outlines. */
export function doneBands(
  layout: StripLayout,
  intervals: Interval[],
  { done }: StripProgress,
  y: number,
): Shape[] {
  return intervals.slice(0, done).map(({ fromUm, toUm }, i) => {
    const x = xOf(layout, fromUm)
    const width = xOf(layout, toUm) - x
    return {
      kind: 'rect',
      ...{ x, y, width, height: layout.bandHeight },
      fill: 'filled',
      stroke: null,
      of: { interval: i },
    }
  })
}

/** The heavy outline of the cut in hand. */
export function nowOutline(
  layout: StripLayout,
  intervals: Interval[],
  { now }: StripProgress,
  bandY: number,
): Shape[] {
  const interval = now === null ? undefined : intervals[now]
  if (!interval) return []
  const x = xOf(layout, interval.fromUm)
  const width = Math.max(NOW_WIDTH, xOf(layout, interval.toUm) - x)
  const stroke = { tone: 'ink' as const, width: NOW_WIDTH }
  return [{ kind: 'rect', x, y: bandY, width, height: layout.bandHeight, fill: 'none', stroke }]
}

/** What the list says of an interval. */
export function progressWord(interval: number, progress: StripProgress | undefined): string {
  if (!progress) return ''
  if (interval < progress.done) return ' (done)'
  return interval === progress.now ? ' (now)' : ''
}
