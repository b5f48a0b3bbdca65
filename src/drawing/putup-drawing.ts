import { outerDiameterMm } from '../putup/winding.ts'
import { figureText } from '../quantity/length-text.ts'
import { endView } from './putup-end-view.ts'
import { measureX, type PutupDrawingInput, type PutupLayout, putupLayout } from './putup-layout.ts'
import { woundTurns } from './putup-turns.ts'
import type { Drawing, DrawingLine, Shape, Stroke, TextShape } from './shape.ts'
import { textWidth } from './text-width.ts'

const INK: Stroke = { tone: 'ink', width: 1.2 }
const HAIR: Stroke = { tone: 'quiet', width: 0.8 }
const DASHED: Stroke = { tone: 'quiet', width: 0.9, dash: [4, 3] }

/**
 * The wound put-up to scale: a cut through its axis with the turns as they lie, and the view on its end, with the measures
 * that an operator can lay a rule against. Screens and papers paint the same list of shapes.
 */
export function putupDrawing(input: PutupDrawingInput): Drawing {
  const layout = putupLayout(input)
  const { putup, wound } = input
  const shapes: Shape[] = [
    ...form(layout, input),
    ...(wound === null ? [] : woundTurns(layout, wound.winding, wound.state)),
    ...axis(layout),
    ...fullLine(layout, input),
    ...measures(layout, input),
    ...endView(layout, input),
    caption('cut through the axis, mm', (layout.left + layout.right) / 2, layout),
    caption('view on the end', layout.endX, layout),
  ]
  const what = wound === null ? 'nothing wound' : `${figureText(wound.lengthM, 2)} m of ${input.cable}`
  return {
    width: input.width,
    height: layout.height,
    shapes,
    title: `${putup.putup} with ${what}`,
    list: listOf(input),
  }
}

/** Barrel and flanges in the cut. A coil has none: there its inner diameter is only a dashed line. */
function form(layout: PutupLayout, { putup }: PutupDrawingInput): Shape[] {
  const { left, right, axisY, flange, scale } = layout
  const barrel = (putup.barrelMm / 2) * scale
  if (putup.flangeMm === null)
    return [axisY - barrel, axisY + barrel].map((y) => line([left, y], [right, y], DASHED))
  const box = (x: number, width: number, radius: number): Shape => ({
    kind: 'rect',
    x,
    y: axisY - radius,
    width,
    height: 2 * radius,
    fill: 'paper',
    stroke: INK,
  })
  const radius = (putup.flangeMm / 2) * scale
  return [box(left, right - left, barrel), box(left - flange, flange, radius), box(right, flange, radius)]
}

function axis({ left, right, axisY, text }: PutupLayout): Shape[] {
  const stroke: Stroke = { ...HAIR, dash: [8, 3] }
  return [line([left - 0.8 * text, axisY], [right + 0.8 * text, axisY], stroke)]
}

/** How far the cable would reach if the put-up were full by the works' rule. */
function fullLine(layout: PutupLayout, { putup, wound }: PutupDrawingInput): Shape[] {
  if (wound === null || putup.flangeMm === null || wound.state.layer >= wound.winding.layers) return []
  const radius = (outerDiameterMm(wound.winding, wound.winding.layers) / 2) * layout.scale
  const y = layout.axisY - radius
  const low = layout.axisY + radius
  const x = layout.left + 0.4 * layout.text
  const room = (wound.winding.layers - wound.state.layer) * wound.winding.odMm * layout.scale
  return [
    line([layout.left, y], [layout.right, y], DASHED),
    line([layout.left, low], [layout.right, low], DASHED),
    ...(room > 1.4 * layout.text ? [words('full', x, y + 1.05 * layout.text, 'start', layout)] : []),
  ]
}

/** Diameters as columns left of the cut, the traverse below it, the free flange to its right. */
function measures(layout: PutupLayout, { putup, wound }: PutupDrawingInput): Shape[] {
  const { text, axisY, scale, left, right } = layout
  const shapes: Shape[] = []
  const diameters = [putup.barrelMm, wound?.state.outerDiameterMm ?? null, putup.flangeMm]
  let column = 0
  for (const mm of diameters) {
    if (mm === null) continue
    const half = (mm / 2) * scale
    const x = measureX(layout, column++)
    shapes.push(
      ...rule([x, axisY - half], [x, axisY + half], text),
      words(`Ø ${figureText(mm, 0)}`, x, axisY + 0.34 * text, 'middle', layout, true),
    )
  }
  const y = axisY + (layout.largestMm / 2) * scale + 1.2 * text
  shapes.push(
    ...rule([left, y], [right, y], text),
    words(
      `traverse ${figureText(putup.traverseMm, 0)}`,
      (left + right) / 2,
      y + 1.2 * text,
      'middle',
      layout,
    ),
  )
  if (putup.flangeMm !== null && wound !== null) {
    const top = axisY - (putup.flangeMm / 2) * scale
    const over = axisY - (wound.state.outerDiameterMm / 2) * scale
    const x = right + layout.flange + 0.8 * text
    const free = (putup.flangeMm - wound.state.outerDiameterMm) / 2
    if (over > top) shapes.push(...rule([x, top], [x, over], text))
    shapes.push(
      words(`${figureText(free, 0)} free`, x + 0.6 * text, (top + over) / 2 + 0.34 * text, 'start', layout),
    )
  }
  return shapes
}

/** A measuring line with a short stroke across each end. */
function rule(from: [number, number], to: [number, number], text: number): Shape[] {
  const tick = 0.3 * text
  const [dx, dy] = from[0] === to[0] ? [tick, 0] : [0, tick]
  return [line(from, to, HAIR), ...[from, to].map(([x, y]) => line([x - dx, y - dy], [x + dx, y + dy], HAIR))]
}

function caption(text: string, x: number, layout: PutupLayout): Shape {
  return { ...words(text, x, 1.1 * layout.text, 'middle', layout), tone: 'quiet' }
}

function words(
  text: string,
  x: number,
  y: number,
  anchor: TextShape['anchor'],
  layout: PutupLayout,
  halo = false,
): TextShape {
  const size = layout.text
  return {
    kind: 'text',
    x,
    y,
    text,
    size,
    anchor,
    bold: false,
    tone: 'ink',
    width: textWidth(text, size),
    halo,
  }
}

function line(from: [number, number], to: [number, number], stroke: Stroke): Shape {
  return { kind: 'polyline', points: [from, to], stroke }
}

/** What the drawing says, for those who do not see it. */
function listOf({ putup, wound, ties }: PutupDrawingInput): DrawingLine[] {
  const mm = (value: number) => `${figureText(value, 0)} mm`
  const sizes =
    putup.flangeMm === null
      ? `coil of ${mm(putup.barrelMm)} inner diameter, ${mm(putup.traverseMm)} wide`
      : `barrel ${mm(putup.barrelMm)}, flange ${mm(putup.flangeMm)}, traverse ${mm(putup.traverseMm)}`
  const texts = [sizes]
  if (wound === null) texts.push('nothing can be wound on it')
  else {
    const { state, winding } = wound
    texts.push(
      `layer ${state.layer} of ${winding.layers}, turn ${figureText(state.turnsInLayer, 1)} of ${figureText(winding.turns, 1)} in it, ${figureText(state.turns, 1)} turns in all`,
      `${mm(state.outerDiameterMm)} over the cable`,
    )
    if (putup.flangeMm !== null)
      texts.push(`${mm((putup.flangeMm - state.outerDiameterMm) / 2)} of flange free`)
    if (state.overfull) texts.push('more than it holds by the rule of the works')
  }
  if (ties > 0) texts.push(`${ties} ties`)
  return texts.map((text) => ({ text, of: null }))
}
