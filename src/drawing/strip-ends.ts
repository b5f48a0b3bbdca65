import type { LengthUm } from '../quantity/length.ts'
import { lengthText } from '../quantity/length-text.ts'
import type { UsableDrum } from '../strip/usable.ts'
import type { LabelRequest } from './label-rows.ts'
import type { Shape, Stroke, TextShape } from './shape.ts'
import { type StripLayout, xOf } from './strip-layout.ts'
import { textWidth } from './text-width.ts'

const INK: Stroke = { tone: 'ink', width: 1.2 }

/** A pole at the outer end with a pennant that says OUT. */
export function outFlag(layout: StripLayout, bandY: number): Shape[] {
  const { left: x, text } = layout
  const top = bandY - 0.2 * text
  const width = 2.9 * text
  const height = 1.35 * text
  return [
    {
      kind: 'polyline',
      points: [
        [x, top + height],
        [x, top],
      ],
      stroke: { tone: 'ink', width: 2 },
    },
    {
      kind: 'polygon',
      points: [
        [x, top],
        [x - width, top],
        [x - width + 0.45 * text, top + height / 2],
        [x - width, top + height],
        [x, top + height],
      ],
      fill: 'paper',
      stroke: INK,
    },
    words('OUT', x - 0.25 * text, top + 1.02 * text, 'end', layout, true),
  ]
}

/** A torn edge and the words "no cap" at each end that has none. */
export function openEnds(layout: StripLayout, usable: UsableDrum, bandY: number): Shape[] {
  const { endCaps } = usable.drum
  const shapes: Shape[] = []
  const y = bandY + layout.bandHeight - 0.3 * layout.text
  if (endCaps === 'outer_missing' || endCaps === 'none')
    shapes.push(
      tornEdge(layout, layout.left, bandY),
      words('no cap', layout.left - 0.5 * layout.text, y, 'end', layout),
    )
  if (endCaps === 'inner_missing' || endCaps === 'none')
    shapes.push(
      tornEdge(layout, layout.right, bandY),
      words('no cap', layout.right + 0.5 * layout.text, y, 'start', layout),
    )
  return shapes
}

function tornEdge(layout: StripLayout, x: number, bandY: number): Shape {
  const teeth = 6
  const points: [number, number][] = []
  for (let i = 0; i <= teeth; i++)
    points.push([x + (i % 2 === 0 ? -1 : 1) * 0.2 * layout.text, bandY + (i * layout.bandHeight) / teeth])
  return { kind: 'polyline', points, stroke: INK }
}

/** What is lost at the two ends, hatched; used where no mounting says it interval by interval. */
export function endLosses(layout: StripLayout, usable: UsableDrum, bandY: number): Shape[] {
  const height = layout.bandHeight
  const pairs = [
    [0, usable.good.fromUm],
    [usable.good.toUm, usable.lengthUm],
  ] as const
  return pairs
    .filter(([fromUm, toUm]) => toUm > fromUm)
    .map(([fromUm, toUm]) => {
      const x = xOf(layout, fromUm)
      return {
        kind: 'rect',
        x,
        y: bandY,
        width: xOf(layout, toUm) - x,
        height,
        fill: 'diagonal',
        stroke: null,
      }
    })
}

/** The length of each clean stretch, in the middle of it, where it has room. */
export function cleanLengths(layout: StripLayout, usable: UsableDrum, bandY: number): Shape[] {
  const shapes: Shape[] = []
  for (const stretch of usable.clean) {
    const a = xOf(layout, stretch.fromUm)
    const b = xOf(layout, stretch.toUm)
    const text = cleanText(stretch.toUm - stretch.fromUm)
    if (!hasRoom(layout, text, a, b)) continue
    const y = bandY + layout.bandHeight / 2 + 0.34 * layout.text
    shapes.push(words(text, (a + b) / 2, y, 'middle', layout))
  }
  return shapes
}

/** A strip with one clean stretch that has no room for its length tells it beside. */
export function lengthBeside(layout: StripLayout, usable: UsableDrum): LabelRequest[] {
  const [only, ...others] = usable.clean
  if (only === undefined || others.length > 0) return []
  const [a, b] = [xOf(layout, only.fromUm), xOf(layout, only.toUm)]
  const text = cleanText(only.toUm - only.fromUm)
  return hasRoom(layout, text, a, b) ? [] : [{ anchorX: (a + b) / 2, text, of: null }]
}

function hasRoom(layout: StripLayout, text: string, fromX: number, toX: number): boolean {
  return textWidth(text, layout.text) + layout.text <= toX - fromX
}

/** A length that is there: to the tenth of a metre below, so that it never overstates. */
export function cleanText(lengthUm: LengthUm): string {
  return lengthText(Math.floor(lengthUm / 100_000) * 100_000, 'm', 1)
}

export const HELD_WORDS = {
  free: null,
  qc_hold: 'held by quality',
  customer_sample: "customer's sample",
  reserved: 'reserved',
} as const

/** For a bracket that is too narrow for the words above. */
const HELD_SHORT = { free: '', qc_hold: 'held', customer_sample: 'sample', reserved: 'reserved' } as const

/** A bracket over the whole drum with the word why it may not be used. */
export function heldBracket(layout: StripLayout, usable: UsableDrum, y: number): Shape[] {
  const word = HELD_WORDS[usable.drum.status]
  if (!word) return []
  const drop = 0.6 * layout.text
  const middle = (layout.left + layout.right) / 2
  const roomy = textWidth(word, layout.text, true) + layout.text <= layout.right - layout.left
  const text = roomy ? word : HELD_SHORT[usable.drum.status]
  const [x, anchor] = roomy
    ? [middle, 'middle' as const]
    : [layout.left + 0.2 * layout.text, 'start' as const]
  return [
    {
      kind: 'polyline',
      points: [
        [layout.left, y + drop],
        [layout.left, y],
        [layout.right, y],
        [layout.right, y + drop],
      ],
      stroke: { tone: 'amber', width: 1.6 },
    },
    { ...words(text, x, y + 0.34 * layout.text, anchor, layout, true), tone: 'amber', halo: true },
  ]
}

function words(
  text: string,
  x: number,
  y: number,
  anchor: TextShape['anchor'],
  layout: StripLayout,
  bold = false,
): TextShape {
  const size = layout.text
  return {
    kind: 'text',
    x,
    y,
    text,
    size,
    anchor,
    bold,
    tone: 'ink',
    width: textWidth(text, size, bold),
    halo: false,
  }
}
