import { UM_PER_M } from '../quantity/length.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import type { UsableDrum } from '../strip/usable.ts'
import { rulerTicks, type Tick } from './ruler.ts'
import type { Shape, TextShape } from './shape.ts'
import { type StripLayout, xOf } from './strip-layout.ts'
import { textWidth } from './text-width.ts'

const LONG_TICK_EM = 0.5
const SHORT_TICK_EM = 0.25

/** Height that a ruler takes: its line, ticks and figures. */
export function rulerHeight(layout: StripLayout): number {
  return (LONG_TICK_EM + 1.15) * layout.text
}

/** Metres from the outer end, as the drum stands now; figures above the line at `lineY`. */
export function metreRuler(layout: StripLayout, lineY: number): Shape[] {
  const { left, right, text, lengthUm } = layout
  const ticks = rulerTicks(left, right, 0, lengthUm / UM_PER_M, text)
  return [
    gutterName('metres', layout, lineY - 0.2 * text),
    rule(left, right, lineY),
    ...ticks.flatMap((tick) => tickShapes(tick, lineY, -1, layout)),
  ]
}

/** The jacket marks as printed, figures below the line at `lineY`; a break where the print restarts, nothing where there is no print. */
export function markRuler(layout: StripLayout, usable: UsableDrum, lineY: number): Shape[] {
  const shapes: Shape[] = []
  const units = new Set(usable.segments.map((s) => s.printUnit).filter((unit) => unit !== 'none'))
  const name = units.size === 0 ? 'no marks' : units.size === 1 ? `marks, ${[...units][0]}` : 'marks'
  shapes.push(gutterName(name, layout, lineY + 0.9 * layout.text))
  usable.segments.forEach((segment, i) => {
    const fromX = xOf(layout, segment.fromUm * usable.scale)
    const toX = Math.min(xOf(layout, segment.toUm * usable.scale), layout.right)
    const breakAt = 0.55 * layout.text
    const a = i > 0 ? fromX + breakAt : fromX
    const b = i < usable.segments.length - 1 ? toX - breakAt : toX
    if (b > a) shapes.push(...segmentRuler(layout, segment, units.size > 1, a, b, lineY))
    if (i > 0) shapes.push(...restart(layout, fromX, lineY))
  })
  return shapes
}

function segmentRuler(
  layout: StripLayout,
  segment: MarkSegment,
  withUnit: boolean,
  fromX: number,
  toX: number,
  lineY: number,
): Shape[] {
  const { markFrom, markTo, printUnit } = segment
  if (printUnit === 'none' || markFrom === null || markTo === null) return noPrint(layout, fromX, toX, lineY)
  const ticks = rulerTicks(fromX, toX, markFrom, markTo, layout.text)
  const first = ticks[0]
  if (withUnit && first?.label) first.label += ` ${printUnit}`
  return [rule(fromX, toX, lineY), ...ticks.flatMap((tick) => tickShapes(tick, lineY, 1, layout, fromX, toX))]
}

function noPrint(layout: StripLayout, fromX: number, toX: number, lineY: number): Shape[] {
  const text = 'no print'
  if (textWidth(text, layout.text) > toX - fromX) return []
  return [label(text, (fromX + toX) / 2, lineY + 1.1 * layout.text, 'middle', layout)]
}

/** Two slanted strokes through the ruler, as a break is drawn on a workshop drawing. */
function restart(layout: StripLayout, x: number, lineY: number): Shape[] {
  const h = 0.55 * layout.text
  return [-0.22, 0.22].map((shift) => ({
    kind: 'polyline',
    points: [
      [x + shift * layout.text - h / 3, lineY + h],
      [x + shift * layout.text + h / 3, lineY - h],
    ],
    stroke: { tone: 'ink', width: 1.2 },
  }))
}

function tickShapes(
  tick: Tick,
  lineY: number,
  side: 1 | -1,
  layout: StripLayout,
  fromX = layout.left,
  toX = layout.right,
): Shape[] {
  const size = layout.text
  const long = tick.label === null ? SHORT_TICK_EM : LONG_TICK_EM
  const shapes: Shape[] = [
    {
      kind: 'polyline',
      points: [
        [tick.x, lineY],
        [tick.x, lineY + side * long * size],
      ],
      stroke: { tone: 'quiet', width: 0.7 },
    },
  ]
  if (tick.label === null) return shapes
  const y = side === 1 ? lineY + (long + 0.85) * size : lineY - (long + 0.15) * size
  // figures at the very ends stand inwards, so that those of two segments do not meet at a restart
  const anchor =
    fromX > layout.left && tick.x <= fromX ? 'start' : toX < layout.right && tick.x >= toX ? 'end' : 'middle'
  shapes.push(label(tick.label, tick.x, y, anchor, layout))
  return shapes
}

function label(
  text: string,
  x: number,
  y: number,
  anchor: TextShape['anchor'],
  layout: StripLayout,
): TextShape {
  const width = textWidth(text, layout.text)
  return {
    kind: 'text',
    x,
    y,
    text,
    size: layout.text,
    anchor,
    bold: false,
    tone: 'quiet',
    width,
    halo: true,
  }
}

function gutterName(text: string, layout: StripLayout, y: number): TextShape {
  const shown = label(text, 0, y, 'start', layout)
  return { ...shown, halo: false }
}

function rule(fromX: number, toX: number, y: number): Shape {
  return {
    kind: 'polyline',
    points: [
      [fromX, y],
      [toX, y],
    ],
    stroke: { tone: 'quiet', width: 0.7 },
  }
}
