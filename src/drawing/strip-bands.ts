import { lengthText } from '../quantity/length-text.ts'
import type { Interval, PieceInterval } from '../strip/cut-plan.ts'
import { type OrderUnit, orderText, pieceLengthText } from './interval-text.ts'
import type { LabelRequest } from './label-rows.ts'
import type { Fill, Shape, ShapeOwner, Stroke, TextShape } from './shape.ts'
import { type StripLayout, xOf } from './strip-layout.ts'
import { textWidth } from './text-width.ts'

export const OUTLINE: Stroke = { tone: 'ink', width: 1.2 }
const PAD_EM = 0.4

export interface Bands {
  shapes: Shape[]
  /** Texts written inside the bands; to be painted after the notches. */
  texts: Shape[]
  /** What had no room inside. */
  labels: LabelRequest[]
}

/** The bands of a mounting's intervals, each by its own pattern, with what is written in them or must stand beside. */
export function intervalBands(
  layout: StripLayout,
  intervals: Interval[],
  unitOf: OrderUnit,
  bandY: number,
): Bands {
  const bands: Bands = { shapes: [], texts: [], labels: [] }
  for (let i = 0; i < intervals.length; ) {
    const run = runLength(intervals, i, layout, unitOf)
    for (let k = i; k < i + run; k++) bands.shapes.push(...bandShapes(layout, intervals[k]!, k, bandY))
    if (run > 1) labelRun(bands, layout, intervals, i, run, unitOf, bandY)
    else labelBand(bands, layout, intervals[i]!, i, unitOf, bandY)
    i += run
  }
  return bands
}

/** How many pieces from here on are alike, lie side by side and have no room for a label each; 1 where there is no such run. */
function runLength(intervals: Interval[], from: number, layout: StripLayout, unitOf: OrderUnit): number {
  const first = intervals[from]!
  if (first.use !== 'piece' || linesThatFit(layout, first, from, unitOf)) return 1
  let to = from + 1
  while (
    to < intervals.length &&
    alike(first, intervals[to]!) &&
    !linesThatFit(layout, intervals[to]!, to, unitOf)
  )
    to++
  return to - from
}

function alike(a: PieceInterval, b: Interval): boolean {
  return (
    b.use === 'piece' &&
    b.order === a.order &&
    b.orderLine === a.orderLine &&
    b.declaredUm === a.declaredUm &&
    b.count === a.count
  )
}

const FILL_OF: Record<Interval['use'], Fill> = {
  piece: 'none',
  remnant: 'dots',
  scrap: 'crossed',
  end: 'diagonal',
}

function bandShapes(layout: StripLayout, interval: Interval, index: number, y: number): Shape[] {
  const x = xOf(layout, interval.fromUm)
  const width = xOf(layout, interval.toUm) - x
  const height = layout.bandHeight
  const of = { interval: index }
  const stroke = OUTLINE
  const shapes: Shape[] = [{ kind: 'rect', x, y, width, height, fill: FILL_OF[interval.use], stroke, of }]
  if (interval.use === 'piece' && interval.count === 1) {
    // what the length guard and the trim take beyond the declared length, where it is wide enough to be seen
    const trim = width - (xOf(layout, interval.declaredUm) - layout.left)
    if (trim >= 2)
      shapes.push({
        kind: 'rect',
        x: x + width - trim,
        y,
        width: trim,
        height,
        fill: 'diagonal',
        stroke: null,
        of,
      })
  }
  return shapes
}

/** What a band says of itself: one line or two. */
function bandLines(interval: Interval, index: number, unitOf: OrderUnit): string[] | null {
  switch (interval.use) {
    case 'piece':
      return [`${index + 1}: ${orderText(interval)}`, pieceLengthText(interval, unitOf)]
    case 'remnant': {
      const length = lengthText(interval.toUm - interval.fromUm, 'm', 1)
      return interval.putup === null ? [length] : [`${index + 1}: ${length}`, `on ${interval.putup}`]
    }
    case 'scrap':
      return [`scrap ${lengthText(interval.toUm - interval.fromUm, 'm', 1)}`]
    case 'end':
      return null
  }
}

/** The lines as they fit into the band: on one line, on two, or null. */
function linesThatFit(
  layout: StripLayout,
  interval: Interval,
  index: number,
  unitOf: OrderUnit,
): string[] | null {
  const lines = bandLines(interval, index, unitOf)
  if (!lines) return null
  const coil =
    interval.use === 'remnant' && interval.putup !== null ? 2 * coilRadius(layout) + 0.3 * layout.text : 0
  const room = xOf(layout, interval.toUm) - xOf(layout, interval.fromUm) - 2 * PAD_EM * layout.text - coil
  const fits = (line: string) => textWidth(line, layout.text, interval.use === 'piece') <= room
  const joined = lines.join(' · ')
  if (fits(joined)) return [joined]
  return lines.length > 1 && lines.every(fits) ? lines : null
}

function labelBand(
  bands: Bands,
  layout: StripLayout,
  interval: Interval,
  index: number,
  unitOf: OrderUnit,
  bandY: number,
): void {
  const lines = bandLines(interval, index, unitOf)
  if (!lines) return
  const x = xOf(layout, interval.fromUm)
  const width = xOf(layout, interval.toUm) - x
  const of = { interval: index }
  const fitted = linesThatFit(layout, interval, index, unitOf)
  const wound = interval.use === 'remnant' && interval.putup !== null
  if (wound && (fitted || width > 3 * coilRadius(layout))) {
    const coilX = fitted ? x + PAD_EM * layout.text + coilRadius(layout) : x + width / 2
    bands.shapes.push(...coilSign(coilX, bandY + layout.bandHeight / 2, layout, of))
  }
  if (fitted) {
    const indent = wound ? 2 * coilRadius(layout) : 0
    bands.texts.push(
      ...innerText(fitted, x + indent + (width - indent) / 2, bandY, layout, interval.use === 'piece', of),
    )
  } else bands.labels.push({ anchorX: x + width / 2, text: lines.join(' · '), short: String(index + 1), of })
}

/** A brace under pieces that are alike, with one label: "20 × 25 m for 7105/1". */
function labelRun(
  bands: Bands,
  layout: StripLayout,
  intervals: Interval[],
  from: number,
  run: number,
  unitOf: OrderUnit,
  bandY: number,
): void {
  const first = intervals[from] as PieceInterval
  const x1 = xOf(layout, intervals[from]!.fromUm)
  const x2 = xOf(layout, intervals[from + run - 1]!.toUm)
  const y = bandY + layout.bandHeight
  const drop = 0.35 * layout.text
  const of = { interval: from }
  const points: [number, number][] = [
    [x1 + 1.5, y],
    [x1 + 1.5, y + drop],
    [x2 - 1.5, y + drop],
    [x2 - 1.5, y],
  ]
  bands.shapes.push({ kind: 'polyline', points, stroke: { tone: 'ink', width: 1 }, of })
  const text = `${from + 1} to ${from + run}: ${orderText(first)} · ${run} × ${pieceLengthText(first, unitOf)}`
  bands.labels.push({ anchorX: (x1 + x2) / 2, text, short: `${from + 1}–${from + run}`, of })
}

function innerText(
  lines: string[],
  x: number,
  bandY: number,
  layout: StripLayout,
  bold: boolean,
  of: ShapeOwner,
): TextShape[] {
  const size = layout.text
  const middle = bandY + layout.bandHeight / 2
  return lines.map((text, i) => ({
    kind: 'text',
    x,
    y: middle + (i - (lines.length - 1) / 2) * 1.1 * size + 0.34 * size,
    text,
    size,
    anchor: 'middle',
    bold,
    tone: 'ink',
    width: textWidth(text, size, bold),
    halo: true,
    of,
  }))
}

function coilRadius(layout: StripLayout): number {
  return 0.75 * layout.text
}

/** Two rings: cable that is wound off onto a put-up of its own. */
function coilSign(x: number, y: number, layout: StripLayout, of: ShapeOwner): Shape[] {
  const stroke: Stroke = { tone: 'ink', width: 1.2 }
  return [1, 0.55].map((share) => ({ kind: 'circle', x, y, radius: share * coilRadius(layout), stroke, of }))
}
