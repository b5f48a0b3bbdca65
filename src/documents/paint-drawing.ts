import { DOT_RADIUS, patternMarks } from '../drawing/pattern.ts'
import type { Drawing, Fill, PolygonShape, Shape, Stroke, TextShape, Tone } from '../drawing/shape.ts'
import type { Pen } from './pen.ts'

/** Black on white: what is told by tone on a screen is told by shape and text alone on paper. */
const GREY: Record<Tone, string> = {
  ink: 'black',
  quiet: '#222222',
  line: '#777777',
  plum: 'black',
  amber: 'black',
}

/** Paints a drawing with its top left corner at x, y; one unit is one point. */
export function paintDrawing(pen: Pen, drawing: Drawing, x: number, y: number): void {
  pen.doc.save().translate(x, y)
  for (const shape of drawing.shapes) paintShape(pen, shape)
  pen.doc.restore()
}

function paintShape(pen: Pen, shape: Shape): void {
  const { doc } = pen
  switch (shape.kind) {
    case 'rect':
      if (shape.fill !== 'none') fillBox(pen, shape.x, shape.y, shape.width, shape.height, shape.fill)
      if (shape.stroke) {
        doc.rect(shape.x, shape.y, shape.width, shape.height)
        stroke(pen, shape.stroke)
      }
      return
    case 'polygon':
      if (shape.fill === 'paper') doc.polygon(...shape.points).fill('white')
      if (shape.stroke) {
        doc.polygon(...(shape satisfies PolygonShape).points)
        stroke(pen, shape.stroke)
      }
      return
    case 'polyline':
      shape.points.forEach(([px, py], i) => {
        if (i === 0) doc.moveTo(px, py)
        else doc.lineTo(px, py)
      })
      stroke(pen, shape.stroke)
      return
    case 'circle':
      doc.circle(shape.x, shape.y, shape.radius).fill('white')
      doc.circle(shape.x, shape.y, shape.radius)
      stroke(pen, shape.stroke)
      return
    case 'text':
      paintText(pen, shape)
  }
}

function paintText(pen: Pen, shape: TextShape): void {
  const weight = shape.bold ? 600 : 400
  if (shape.halo) {
    const width = Math.min(pen.widthOf(shape.text, shape.size, weight), shape.width) + 0.3 * shape.size
    const left =
      shape.anchor === 'start' ? shape.x : shape.anchor === 'middle' ? shape.x - width / 2 : shape.x - width
    pen.box(left, shape.y - 0.75 * shape.size, width, 0.95 * shape.size, 'white')
  }
  const { size, anchor } = shape
  pen.text(shape.text, shape.x, shape.y, {
    size,
    weight,
    anchor,
    colour: GREY[shape.tone],
    maxWidth: shape.width * 1.02,
  })
}

function fillBox(pen: Pen, x: number, y: number, width: number, height: number, fill: Fill): void {
  pen.box(x, y, width, height, 'white')
  if (fill === 'paper') return
  const { lines, dots } = patternMarks(x, y, width, height, fill)
  for (const [x1, y1, x2, y2] of lines) pen.doc.moveTo(x1, y1).lineTo(x2, y2)
  if (lines.length > 0) pen.doc.lineWidth(0.5).strokeColor('black').stroke()
  for (const [dotX, dotY] of dots) pen.doc.circle(dotX, dotY, DOT_RADIUS)
  if (dots.length > 0) pen.doc.fill('black')
}

function stroke(pen: Pen, { tone, width, dash }: Stroke): void {
  if (dash) pen.doc.dash(dash[0], { space: dash[1] })
  pen.doc.lineWidth(width).strokeColor(GREY[tone]).stroke()
  if (dash) pen.doc.undash()
}
