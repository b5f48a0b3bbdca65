import type { ChartAxis, ChartScale } from './chart-scale.ts'
import type { Shape, Stroke, TextShape, Tone } from './shape.ts'
import { fitText, textWidth } from './text-width.ts'

/** The plot within its drawing. */
export interface ChartFrame {
  left: number
  right: number
  top: number
  bottom: number
  /** Letter size. */
  em: number
  /** Of the whole drawing. */
  width: number
  x: ChartScale
  y: ChartScale
}

const EDGE: Stroke = { tone: 'quiet', width: 1 }
const GRID: Stroke = { tone: 'line', width: 0.6 }

/** A text of a chart, cut where it has no room. */
export function chartText(
  text: string,
  x: number,
  y: number,
  em: number,
  anchor: TextShape['anchor'],
  tone: Tone,
  roomUnits = Number.POSITIVE_INFINITY,
): TextShape {
  const fitted = fitText(text, em, roomUnits)
  const width = textWidth(fitted, em)
  return { kind: 'text', x, y, text: fitted, size: em, anchor, bold: false, tone, width, halo: true }
}

/** Two edges with their ticks and figures, thin lines across at the upright ticks, and what is measured in words. */
export function chartAxes(frame: ChartFrame, xAxis: ChartAxis, yAxis: ChartAxis): Shape[] {
  const { left, right, top, bottom, em, x, y, width } = frame
  const shapes: Shape[] = []
  const line = (points: [number, number][], stroke: Stroke) =>
    shapes.push({ kind: 'polyline', points, stroke })
  for (const tick of y.ticks) {
    if (tick.label !== null)
      line(
        [
          [left, tick.x],
          [right, tick.x],
        ],
        GRID,
      )
    line(
      [
        [left - (tick.label === null ? 0.2 : 0.35) * em, tick.x],
        [left, tick.x],
      ],
      EDGE,
    )
    if (tick.label !== null)
      shapes.push(chartText(tick.label, left - 0.6 * em, tick.x + 0.35 * em, em, 'end', 'quiet'))
  }
  for (const tick of x.ticks) {
    line(
      [
        [tick.x, bottom],
        [tick.x, bottom + (tick.label === null ? 0.2 : 0.35) * em],
      ],
      EDGE,
    )
    if (tick.label === null) continue
    // the first and last figure stay within the drawing
    const half = textWidth(tick.label, em) / 2
    const at = Math.min(Math.max(tick.x, half), width - half)
    shapes.push(chartText(tick.label, at, bottom + 1.3 * em, em, 'middle', 'quiet'))
  }
  line(
    [
      [left, top],
      [left, bottom],
      [right, bottom],
    ],
    EDGE,
  )
  shapes.push(chartText(yAxis.label, 0, 0.9 * em, em, 'start', 'quiet', width))
  shapes.push(chartText(xAxis.label, right, bottom + 2.5 * em, em, 'end', 'quiet', right))
  return shapes
}
