import { type ChartFrame, chartText } from './chart-axes.ts'
import type { ChartScale } from './chart-scale.ts'
import { placeLabels } from './label-rows.ts'
import type { Shape } from './shape.ts'

/** Something that happened at a place, or along a stretch where `toX` is given. */
export interface ChartEvent {
  x: number
  toX?: number
  /** A word or two; the whole story is in the list. */
  text: string
  /** What is wrong stands in plum; colour only repeats the text. */
  wrong?: boolean
}

export interface EventRows {
  events: { event: ChartEvent; x: number; toX: number }[]
  placed: { text: string; x: number; row: number; leaderX: number; anchorX: number; width: number }[]
  height: number
}

/** More rows than this would leave no plot: then numbers stand for the words, the list explains them in order. */
const MOST_ROWS = 3
const PITCH_EM = 1.2

/** Words above the plot, in rows so that none touches another. */
export function eventRows(
  events: ChartEvent[],
  scale: ChartScale,
  left: number,
  right: number,
  em: number,
): EventRows {
  const within = (value: number) => Math.min(right, Math.max(left, value))
  const seen = events
    .map((event) => ({ event, x: scale.at(event.x), toX: scale.at(event.toX ?? event.x) }))
    .filter(({ x, toX }) => x <= right + 0.5 && toX >= left - 0.5)
    .map(({ event, x, toX }) => ({ event, x: within(x), toX: within(toX) }))
  const requests = (short: boolean) =>
    seen.map(({ event, x, toX }, i) => ({
      ...{ anchorX: (x + toX) / 2, text: short ? `${i + 1}` : event.text, of: null },
    }))
  let { labels, rows } = placeLabels(requests(false), left, right, em)
  if (rows > MOST_ROWS) ({ labels, rows } = placeLabels(requests(true), left, right, em))
  if (rows > MOST_ROWS) {
    labels = []
    rows = 0
  }
  const height = rows > 0 ? rows * PITCH_EM * em + 0.8 * em : 0
  return { events: seen, placed: labels, height }
}

/** A dashed line down through the plot, or two and a dotted stretch between, under each word. */
export function chartEvents({ events, placed }: EventRows, { top, bottom, em }: ChartFrame): Shape[] {
  const shapes: Shape[] = []
  for (const { event, x, toX } of events) {
    const stroke = { tone: event.wrong ? ('plum' as const) : ('quiet' as const), width: 0.8 }
    const ends = toX - x > 1.5 ? [x, toX] : [(x + toX) / 2]
    if (ends.length === 2)
      shapes.push({
        ...{ kind: 'rect', x, y: top, width: toX - x, height: bottom - top },
        ...{ fill: 'dots', stroke: null },
      })
    for (const at of ends)
      shapes.push({
        kind: 'polyline',
        points: [
          [at, top],
          [at, bottom],
        ],
        stroke: { ...stroke, dash: [3, 2] },
      })
  }
  for (const label of placed) {
    const y = top - 0.8 * em - label.row * PITCH_EM * em
    shapes.push({
      ...{ kind: 'polyline', stroke: { tone: 'quiet', width: 0.6 } },
      points: [
        [label.leaderX, y + 0.2 * em],
        [label.leaderX, top - 0.5 * em],
        [label.anchorX, top],
      ],
    })
    const wrong = events.find(({ event }) => event.text === label.text)?.event.wrong
    shapes.push(chartText(label.text, label.x, y, em, 'start', wrong ? 'plum' : 'quiet'))
  }
  return shapes
}
