import { lengthText } from '../quantity/length-text.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { marksText } from '../strip/mark-text.ts'
import type { UsableDrum } from '../strip/usable.ts'
import { intervalText, type OrderUnit } from './interval-text.ts'
import { type LabelRequest, type LabelRows, placeLabels } from './label-rows.ts'
import type { Drawing, DrawingLine, Shape, Stroke } from './shape.ts'
import { intervalBands, OUTLINE } from './strip-bands.ts'
import { changeMarks, type StripChanges } from './strip-changes.ts'
import {
  cleanLengths,
  cleanText,
  endLosses,
  HELD_WORDS,
  heldBracket,
  lengthBeside,
  openEnds,
  outFlag,
} from './strip-ends.ts'
import { faultLabels, faultLines, faultNotches } from './strip-faults.ts'
import { type StripLayout, stripLayout, xOf } from './strip-layout.ts'
import { doneBands, nowOutline, progressWord, type StripProgress } from './strip-progress.ts'
import { markRuler, metreRuler, rulerHeight } from './strip-rulers.ts'
import { fitText } from './text-width.ts'

export interface StripDrawingInput {
  usable: UsableDrum
  /** What is cut from the drum; null draws the drum as it stands in stock. */
  mounting: Pick<Mounting, 'intervals'> | null
  /** Whole width of the drawing; at least about 30 letter sizes to be of use. */
  width: number
  /** Size of all letters; the height follows from it. */
  textSize: number
  unitOf: OrderUnit
  /** What is otherwise than in another plan, to be marked. */
  changes?: StripChanges
  /** What of the mounting is done by now. */
  progress?: StripProgress
}

/**
 * The strip drawing: one drum to scale, outer end left, metres from the outer end above it and the jacket marks as
 * printed below it. Screens and papers paint the same list of shapes.
 */
export function stripDrawing(input: StripDrawingInput): Drawing {
  const { usable } = input
  const layout = stripLayout(input.width, input.textSize, usable.lengthUm)
  const intervals = input.mounting?.intervals ?? []
  const shapes: Shape[] = []
  const line = 1.2 * layout.text

  let y = 0.2 * layout.text
  if (HELD_WORDS[usable.drum.status]) {
    shapes.push(...heldBracket(layout, usable, y + 0.5 * line))
    y += 1.5 * line
  }
  const metresY = y + rulerHeight(layout)
  shapes.push(...metreRuler(layout, metresY))

  const faults = placeLabels(faultLabels(layout, usable), layout.left, layout.right, layout.text)
  const faultsY = metresY + 0.3 * layout.text
  const bandY = faultsY + faults.rows * line + (usable.zones.length > 0 ? 1.5 : 0.6) * layout.text
  shapes.push(...leaders(layout, faults, bandY - 0.6 * layout.text, bandY - 1.4 * layout.text, -line))

  const bands = intervalBands(layout, intervals, input.unitOf, bandY)
  shapes.push(...wholeBand(layout, usable, intervals, bandY))
  if (input.progress) shapes.push(...doneBands(layout, intervals, input.progress, bandY))
  shapes.push(...bands.shapes)
  if (input.progress) shapes.push(...nowOutline(layout, intervals, input.progress, bandY))
  shapes.push(...faultNotches(layout, usable, intervals, bandY))
  if (input.changes) shapes.push(...changeMarks(layout, intervals, input.changes, bandY))
  shapes.push(...bands.texts)
  if (!input.mounting) shapes.push(...cleanLengths(layout, usable, bandY))
  shapes.push(...openEnds(layout, usable, bandY), ...outFlag(layout, bandY))

  const bottom = bandY + layout.bandHeight
  const marksY = bottom + 0.6 * layout.text
  const beside = input.mounting ? bands.labels : lengthBeside(layout, usable)
  const placed = pieceLabels(beside, layout)
  const routedY = marksY + rulerHeight(layout) + 0.2 * layout.text
  const rowsY = routedY + (placed.rows > 0 ? (1.2 + 0.3 * placed.rows) * layout.text : 0)
  shapes.push(...leaders(layout, placed, bottom, rowsY, line, routedY))
  shapes.push(...markRuler(layout, usable, marksY))

  return {
    width: input.width,
    height: rowsY + placed.rows * line + 0.3 * layout.text,
    shapes,
    title: titleOf(usable),
    list: listOf(input),
  }
}

/** The band of what is on the drum. What an earlier mounting took is only a dashed outline. */
function wholeBand(layout: StripLayout, usable: UsableDrum, intervals: Interval[], bandY: number): Shape[] {
  const y = bandY
  const height = layout.bandHeight
  const x = xOf(layout, intervals[0]?.fromUm ?? 0)
  const endX = xOf(layout, intervals[intervals.length - 1]?.toUm ?? usable.lengthUm)
  const gone = (from: number, to: number): Shape[] => {
    if (to - from < 0.5) return []
    const stroke: Stroke = { ...OUTLINE, width: 0.8, dash: [3, 3] }
    return [{ kind: 'rect', x: from, y, width: to - from, height, fill: 'none', stroke }]
  }
  return [
    ...gone(layout.left, x),
    ...gone(endX, layout.right),
    { kind: 'rect', x, y, width: endX - x, height, fill: 'paper', stroke: OUTLINE },
    ...(intervals.length === 0 ? endLosses(layout, usable, bandY) : []),
  ]
}

/** More rows of labels than this would bury the drawing; then the numbers of the cuts stand for them. */
const MOST_ROWS = 8

function pieceLabels(labels: LabelRequest[], layout: StripLayout): LabelRows {
  const place = (texts: LabelRequest[]) => placeLabels(texts, 0, layout.width, layout.text)
  const room = layout.width - layout.text
  const full = place(labels.map((label) => ({ ...label, text: fitText(label.text, layout.text, room) })))
  if (full.rows <= MOST_ROWS) return full
  return place(labels.map((label) => ({ ...label, text: label.short ?? label.text })))
}

/**
 * Leader lines and their texts. Below the band a leader runs straight down past the ruler, slants between `routedY` and
 * the first row, then runs down its lane; above the band (`step` negative) it slants at once.
 */
function leaders(
  layout: StripLayout,
  placed: LabelRows,
  fromY: number,
  rowsY: number,
  step: number,
  routedY = fromY,
): Shape[] {
  const size = layout.text
  return placed.labels.flatMap((label): Shape[] => {
    const down = step > 0
    const rowY = rowsY + label.row * step
    const baseY = down ? rowY + 0.85 * size : rowY - 0.15 * size
    const beside = label.leaderX > label.x + label.width
    const endY = beside ? baseY - 0.34 * size : down ? rowY + 0.1 * size : rowY
    const points: [number, number][] = [
      [label.anchorX, fromY],
      [label.anchorX, routedY],
      [label.leaderX, rowsY],
      [label.leaderX, endY],
    ]
    if (beside) points.push([label.x + label.width + 0.1 * size, endY])
    const of = label.of ? { of: label.of } : {}
    return [
      { kind: 'polyline', points, stroke: { tone: 'quiet', width: 0.7 }, ...of },
      {
        kind: 'text',
        x: label.x,
        y: baseY,
        text: label.text,
        size,
        anchor: 'start',
        bold: false,
        tone: 'ink',
        width: label.width,
        halo: false,
        ...of,
      },
    ]
  })
}

function titleOf(usable: UsableDrum): string {
  const { drum } = usable
  const held = HELD_WORDS[drum.status]
  const kind = drum.kind === 'process_drum' ? 'Process drum' : 'Remnant'
  const length = lengthText(usable.lengthUm, 'm', 1)
  const caps = {
    both: 'both ends capped',
    outer_missing: 'no cap on the outer end',
    inner_missing: 'no cap on the inner end',
    none: 'no cap on either end',
  }[drum.endCaps]
  const marks = marksText(usable, 0, usable.lengthUm)
  return `${kind} ${drum.drum}, ${drum.cable}, lot ${drum.lot}: ${length} ${marks}, ${caps}${held ? `, ${held}` : ''}.`
}

function listOf(input: StripDrawingInput): DrawingLine[] {
  const { usable, mounting, unitOf } = input
  const faults = faultLines(usable)
  if (mounting)
    return [
      ...mounting.intervals.map((interval, i) => ({
        text: `${intervalText(interval, i, usable, unitOf)}${input.changes?.changed.has(i) ? ' (changed)' : ''}${progressWord(i, input.progress)}`,
        of: { interval: i },
      })),
      ...faults,
    ]
  const clean = usable.clean.map((s) => ({
    text: `clean ${cleanText(s.toUm - s.fromUm)}, ${marksText(usable, s.fromUm, s.toUm)}`,
    of: null,
  }))
  return [...clean, ...faults]
}
