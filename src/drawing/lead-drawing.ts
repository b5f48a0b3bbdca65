import type { CableType } from '../cable/cable-type.ts'
import type { Connector } from '../lead/connector.ts'
import type { CutFigures } from '../lead/cut-figures.ts'
import type { OrderLine } from '../order/order-line.ts'
import { UM_PER_MM } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import type { Drawing, Shape, Stroke, TextShape } from './shape.ts'
import { textWidth } from './text-width.ts'

const INK: Stroke = { tone: 'ink', width: 1.2 }
const HAIR: Stroke = { tone: 'quiet', width: 0.8 }
const PLANE: Stroke = { tone: 'ink', width: 1, dash: [5, 3] }

export interface LeadDrawingInput {
  line: OrderLine
  cable: CableType
  a: Connector
  b: Connector
  cut: CutFigures
  width: number
  textSize: number
}

/** Each connector with its length of cable is drawn to scale in this share of the width; what lies between is broken out. */
const END_SHARE = 0.27

/**
 * The assembled lead: both ends to one scale, the cable between them broken out; tips, cut faces and reference planes where they lie, the
 * ordered length between what it is measured between, the cut length between the cut faces.
 */
export function leadDrawing(input: LeadDrawingInput): Drawing {
  const { line: order, a, b, cut, width, textSize: text } = input
  const bodyMm = Math.max(bodyLengthMm(a), bodyLengthMm(b))
  const scale = (END_SHARE * width) / bodyMm
  const half = (input.cable.odMm / 2) * scale
  const axisY = 4.4 * text + 1.8 * half
  const left = text
  const right = width - text
  const middle = (left + right) / 2
  const shapes: Shape[] = [
    ...cableHalf(left + bodyLengthMm(a) * scale, middle - 0.6 * text, axisY, half),
    ...cableHalf(middle + 0.6 * text, right - bodyLengthMm(b) * scale, axisY, half),
    ...breakMarks(middle, axisY, half, text),
  ]
  const end = (connector: Connector, tip: number, way: 1 | -1) => ({
    tip,
    face: tip + way * connector.tipToCableEndMm * scale,
    plane: tip + way * connector.tipToRefPlaneMm * scale,
  })
  const [atA, atB] = [end(a, left, 1), end(b, right, -1)]
  shapes.push(
    ...connectorShapes(a, 'A', left, 1, axisY, half, scale, text),
    ...connectorShapes(b, 'B', right, -1, axisY, half, scale, text),
  )
  const low = axisY + 1.8 * half
  for (const { face, plane } of [atA, atB])
    shapes.push(
      line([plane, axisY - 1.9 * half], [plane, low], PLANE),
      line([face, axisY - half], [face, axisY + half], INK),
    )
  const byPlane = cut.definition === 'ref_to_ref'
  const ordered = `${figureText(order.lengthUm / UM_PER_MM, 1)} −${figureText(cut.tolerance.minusMm, 1)} +${figureText(cut.tolerance.plusMm, 1)} mm, ${cut.definition.replaceAll('_', ' ')}`
  shapes.push(
    ...between(
      byPlane ? atA.plane : atA.tip,
      byPlane ? atB.plane : atB.tip,
      1.6 * text,
      axisY - half,
      ordered,
      text,
    ),
    ...between(
      atA.face,
      atB.face,
      low + 1.4 * text,
      axisY + half,
      `cable cut to ${figureText(cut.cutLengthMm, 1)} mm`,
      text,
    ),
  )
  return {
    ...{ width, shapes, height: low + 4 * text },
    title: `Lead ${order.order}/${order.line}: ${a.part} and ${b.part} on ${order.cable}, ends to scale`,
    list: listOf(input, ordered),
  }
}

/** As drawn: to where the jacket begins behind the ferrule. */
function bodyLengthMm({ tipToCableEndMm, stripJacketMm }: Connector): number {
  return tipToCableEndMm + stripJacketMm
}

function cableHalf(from: number, to: number, axisY: number, half: number): Shape[] {
  return [
    {
      kind: 'rect',
      x: from,
      y: axisY - half,
      width: Math.max(0, to - from),
      height: 2 * half,
      fill: 'diagonal',
      stroke: INK,
    },
  ]
}

function breakMarks(middle: number, axisY: number, half: number, text: number): Shape[] {
  return [-0.6, 0.6].map((at): Shape => {
    const x = middle + at * text
    const points: [number, number][] = [-1.3, -0.4, 0.4, 1.3].map((y, i) => [
      x + (i % 2 === 0 ? -0.3 : 0.3) * text,
      axisY + y * half,
    ])
    return { kind: 'polyline', points, stroke: INK }
  })
}

/** Coupling part and body behind it, an outline only: the works folder does not hold their diameters. */
function connectorShapes(
  connector: Connector,
  end: string,
  tip: number,
  way: 1 | -1,
  axisY: number,
  half: number,
  scale: number,
  text: number,
): Shape[] {
  const length = bodyLengthMm(connector) * scale
  const coupling = Math.min(
    0.6 * length,
    Math.max(connector.tipToRefPlaneMm, 0.35 * bodyLengthMm(connector)) * scale,
  )
  const box = (from: number, long: number, radius: number): Shape => ({
    kind: 'rect',
    x: way === 1 ? from : from - long,
    y: axisY - radius,
    width: long,
    height: 2 * radius,
    fill: 'paper',
    stroke: INK,
  })
  const caption = `${end}: ${connector.part}`
  return [
    box(tip + way * coupling, length - coupling, 1.25 * half),
    box(tip, coupling, 1.8 * half),
    words(caption, tip, axisY - 1.8 * half - 0.5 * text, way === 1 ? 'start' : 'end', text),
  ]
}

function between(from: number, to: number, y: number, reach: number, caption: string, text: number): Shape[] {
  const tick = 0.3 * text
  return [
    line([from, y], [to, y], HAIR),
    ...[from, to].flatMap((x) => [
      line([x, y - tick], [x, y + tick], HAIR),
      line([x, y], [x, reach], { ...HAIR, dash: [2, 3] }),
    ]),
    words(caption, (from + to) / 2, y + 0.34 * text, 'middle', text),
  ]
}

function listOf({ a, b, cut, cable }: LeadDrawingInput, ordered: string): Drawing['list'] {
  const texts = [
    `ordered length ${ordered}`,
    `cable of ${cable.cable} cut to ${figureText(cut.cutLengthMm, 1)} mm; ${cut.says}`,
    ...(
      [
        ['A', a],
        ['B', b],
      ] as const
    ).map(
      ([end, c]) =>
        `end ${end}: ${c.part}, cut face ${figureText(c.tipToCableEndMm, 1)} mm and reference plane ${figureText(c.tipToRefPlaneMm, 1)} mm behind the tip`,
    ),
    'the cable between the ends is not to scale, nor are the diameters of the connectors',
  ]
  return texts.map((text) => ({ text, of: null }))
}

function words(content: string, x: number, y: number, anchor: TextShape['anchor'], size: number): TextShape {
  return {
    ...{ kind: 'text', x, y, text: content, size, anchor, bold: false, tone: 'ink', halo: true },
    width: textWidth(content, size),
  }
}

function line(from: [number, number], to: [number, number], stroke: Stroke): Shape {
  return { kind: 'polyline', points: [from, to], stroke }
}
