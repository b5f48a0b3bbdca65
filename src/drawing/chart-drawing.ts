import { type ChartFrame, chartAxes } from './chart-axes.ts'
import { type ChartEdge, edgeShapes } from './chart-edges.ts'
import { type ChartEvent, chartEvents, eventRows } from './chart-events.ts'
import { type EndLabel, endLabels } from './chart-labels.ts'
import { plotLine } from './chart-line.ts'
import { besideRoom, type ChartAxis, chartScale, extentOf, stackedRoom } from './chart-scale.ts'
import type { Drawing, Shape, Stroke } from './shape.ts'
import { textWidth } from './text-width.ts'

/** A line of values; its dash tells it from the others, its name stands at its end. */
export interface ChartLine {
  name: string
  x: ArrayLike<number>
  y: ArrayLike<number>
  /** Each point as a mark of its own as well, or nothing but marks: measurements, not a course. */
  dots?: boolean | 'only'
}

/** What lies between two values at each x: an uncertainty, a permitted range. */
export interface ChartBand {
  name: string
  x: ArrayLike<number>
  low: ArrayLike<number>
  high: ArrayLike<number>
}

/** An edge that is not to be crossed, hatched on the side that is not allowed. */
export interface ChartLimit {
  name: string
  value: number
  not: 'above' | 'below'
}

export interface ChartWanted {
  /** One sentence that names what is shown. */
  title: string
  width: number
  /** Of the whole drawing; the plot takes what axes and labels leave, at least four letter sizes. */
  height: number
  textSize: number
  x: ChartAxis
  y: ChartAxis
  lines?: ChartLine[]
  bands?: ChartBand[]
  limits?: ChartLimit[]
  edges?: ChartEdge[]
  events?: ChartEvent[]
  /** The same content in sentences. */
  list: string[]
}

/** Lines in the order given are told apart by these; beyond them the labels must do. */
const DASHES: ([number, number] | null)[] = [null, [7, 3], [2, 2], [12, 3], [1, 3]]
const HATCH_EM = 0.55
/** Labels at the ends of lines take at most this share of the width. */
const LABELS_SHARE = 0.3

/** A chart: paper ground, ink lines told apart by dash and by the label at their end, limits as hatched edges. */
export function chartDrawing(wanted: ChartWanted): Drawing {
  const { lines = [], bands = [], limits = [], edges = [], events = [], textSize: em } = wanted
  const xValues = extentOf(
    [...lines, ...bands, ...edges, { x: events.map((e) => e.x) }].map((l) => l.x),
    wanted.x.log,
  )
  const yLists = [
    ...lines.map((l) => l.y),
    ...edges.map((l) => l.y),
    ...bands.flatMap((b) => [b.low, b.high]),
    limits.map((l) => l.value),
  ]
  const yValues = extentOf(yLists, wanted.y.log)
  const names = [...lines, ...bands, ...limits, ...edges].map(({ name }) => name)
  const labelWidth = Math.min(LABELS_SHARE * wanted.width, Math.max(0, ...names.map((n) => textWidth(n, em))))
  const right = wanted.width - (labelWidth > 0 ? labelWidth + 1.1 * em : 0.8 * em)
  const bottom = wanted.height - 2.8 * em
  // the figures at the left decide where the plot begins, so the upright scale is made first; rows of events need both
  const draft = chartScale(wanted.y, yValues, bottom, 2 * em, stackedRoom(em))
  const left = Math.max(0, ...draft.ticks.map((tick) => textWidth(tick.label ?? '', em))) + 1.1 * em
  const x = chartScale(wanted.x, xValues, left, right, besideRoom(em))
  const rows = eventRows(events, x, left, right, em)
  const top = Math.min(1.7 * em + rows.height, bottom - 4 * em)
  const y = chartScale(wanted.y, yValues, bottom, top, stackedRoom(em))
  const frame: ChartFrame = { left, right, top, bottom, em, width: wanted.width, x, y }

  const shapes: Shape[] = [...bands.flatMap((band) => bandShapes(band, frame))]
  shapes.push(...limits.flatMap((limit) => limitShapes(limit, frame)))
  shapes.push(...edges.flatMap((edge) => edgeShapes(edge, frame)))
  shapes.push(...chartAxes(frame, wanted.x, wanted.y))
  shapes.push(...lines.flatMap((line, i) => lineShapes(line, dashed(i), frame)))
  shapes.push(...chartEvents(rows, frame))
  shapes.push(...endLabels(labelsOf([...lines, ...edges], bands, limits, frame), frame, labelWidth))
  const list = wanted.list.map((text) => ({ text, of: null }))
  return { width: wanted.width, height: wanted.height, shapes, title: wanted.title, list }
}

function dashed(i: number): Stroke {
  const dash = DASHES[i % DASHES.length] ?? null
  return { tone: 'ink', width: i === 0 ? 1.4 : 1.1, ...(dash ? { dash } : {}) }
}

function unitsOf({ x, y }: ChartFrame, xs: ArrayLike<number>, ys: ArrayLike<number>) {
  return { x: Float64Array.from(xs, (v) => x.at(v)), y: Float64Array.from(ys, (v) => y.at(v)) }
}

function lineShapes(line: ChartLine, stroke: Stroke, frame: ChartFrame): Shape[] {
  const units = unitsOf(frame, line.x, line.y)
  const course = line.dots === 'only' ? [] : plotLine(units.x, units.y, frame)
  const shapes: Shape[] = course.map((points) => ({ kind: 'polyline', points, stroke }))
  if (!line.dots) return shapes
  const radius = 0.22 * frame.em
  for (let i = 0; i < units.x.length; i++) {
    const [x, y] = [units.x[i]!, units.y[i]!]
    if (x >= frame.left && x <= frame.right && y >= frame.top && y <= frame.bottom)
      shapes.push({ kind: 'circle', x, y, radius, stroke: { tone: 'ink', width: 1.1 } })
  }
  return shapes
}

/** Two thin edges with dots between; a painter that cannot fill a polygon still shows the edges. */
function bandShapes(band: ChartBand, frame: ChartFrame): Shape[] {
  const low = unitsOf(frame, band.x, band.low)
  const high = unitsOf(frame, band.x, band.high)
  const within = (value: number) => Math.min(frame.bottom, Math.max(frame.top, value))
  const edge = (units: { x: Float64Array; y: Float64Array }) =>
    plotLine(units.x, units.y, frame).map(
      (points): Shape => ({ kind: 'polyline', points, stroke: { tone: 'quiet', width: 0.7 } }),
    )
  const ring: [number, number][] = []
  for (let i = 0; i < low.x.length; i++)
    if (Number.isFinite(low.x[i]! + low.y[i]! + high.y[i]!)) ring.push([low.x[i]!, within(low.y[i]!)])
  for (let i = high.x.length - 1; i >= 0; i--)
    if (Number.isFinite(high.x[i]! + low.y[i]! + high.y[i]!)) ring.push([high.x[i]!, within(high.y[i]!)])
  const fill: Shape[] = ring.length > 2 ? [{ kind: 'polygon', points: ring, fill: 'dots', stroke: null }] : []
  return [...fill, ...edge(low), ...edge(high)]
}

function limitShapes({ value, not }: ChartLimit, { left, right, top, bottom, em, y }: ChartFrame): Shape[] {
  const at = y.at(value)
  if (!(at >= top - 0.5 && at <= bottom + 0.5)) return []
  const from = not === 'above' ? Math.max(top, at - HATCH_EM * em) : at
  const to = not === 'above' ? at : Math.min(bottom, at + HATCH_EM * em)
  const edge: Shape = {
    kind: 'polyline',
    points: [
      [left, at],
      [right, at],
    ],
    stroke: { tone: 'plum', width: 1 },
  }
  const hatch: Shape = {
    ...{ kind: 'rect', x: left, y: from, width: right - left, height: to - from },
    ...{ fill: 'diagonal', stroke: null },
  }
  return to - from > 0.5 ? [hatch, edge] : [edge]
}

/** Where each name would best stand: at the last point that can be seen. */
function labelsOf(
  lines: Pick<ChartLine, 'name' | 'x' | 'y'>[],
  bands: ChartBand[],
  limits: ChartLimit[],
  frame: ChartFrame,
): EndLabel[] {
  const lastOf = (xs: ArrayLike<number>, ys: ArrayLike<number>) => {
    for (let i = xs.length - 1; i >= 0; i--) {
      const [x, y] = [frame.x.at(xs[i]!), frame.y.at(ys[i]!)]
      if (x >= frame.left && x <= frame.right && y >= frame.top && y <= frame.bottom) return { x, y }
    }
    return null
  }
  const middle = (band: ChartBand) => Float64Array.from(band.low, (low, i) => (low + band.high[i]!) / 2)
  return [
    ...lines.flatMap((line) => {
      const end = lastOf(line.x, line.y)
      return end ? [{ text: line.name, ...end, tone: 'ink' as const }] : []
    }),
    ...bands.flatMap((band) => {
      const end = lastOf(band.x, middle(band))
      return end ? [{ text: band.name, ...end, tone: 'quiet' as const }] : []
    }),
    ...limits.flatMap(({ name, value }) => {
      const y = frame.y.at(value)
      const seen = y >= frame.top - 0.5 && y <= frame.bottom + 0.5
      return seen ? [{ text: name, x: frame.right, y, tone: 'plum' as const }] : []
    }),
  ]
}
