import { figureText } from '../quantity/length-text.ts'
import { chartText } from './chart-axes.ts'
import { placeLabels } from './label-rows.ts'
import { rulerTicks } from './ruler.ts'
import type { Drawing, Fill, Shape } from './shape.ts'
import { fitText, textWidth } from './text-width.ts'

/** A stretch beside a piece, or the piece itself. Places in µm on the strip. */
export interface DrawnStretch {
  fromUm: number
  toUm: number
  use: string
  /** Drum or serial. */
  ref: string | null
}

export interface PieceOnStrip {
  piece: DrawnStretch
  before: DrawnStretch | null
  after: DrawnStretch | null
  /** Marks at the ends of the piece; null where nothing is printed. */
  marks: { atFrom: number | null; atTo: number | null }
  faults: { fault: string; code: string; fromUm: number; toUm: number; uncUm: number }[]
}

const BAND_EM = 2.4
/** Of what lies beside it at most this much of the piece's length is shown. */
const BESIDE_RATIO = 0.6

/** A piece on its strip between its neighbours: where it lies, with its marks and the faults that touch it. */
export function pieceDrawing(on: PieceOnStrip, width: number, em: number): Drawing {
  const { piece, before, after, marks, faults } = on
  const lengthUm = Math.max(1, piece.toUm - piece.fromUm)
  const from = before ? Math.max(before.fromUm, piece.fromUm - BESIDE_RATIO * lengthUm) : piece.fromUm
  const to = after ? Math.min(after.toUm, piece.toUm + BESIDE_RATIO * lengthUm) : piece.toUm
  const [left, right] = [0.5 * em, width - 0.5 * em]
  const x = (um: number) => left + ((Math.min(to, Math.max(from, um)) - from) / (to - from)) * (right - left)
  const names = faults.map((f) => ({
    anchorX: x((f.fromUm + f.toUm) / 2),
    text: `${f.fault} ${f.code}`,
    of: null,
  }))
  const { labels, rows } = placeLabels(names, left, right, em)
  const top = (1.4 + 1.2 * rows) * em
  const bottom = top + BAND_EM * em
  const shapes: Shape[] = []
  for (const stretch of [before, after]) if (stretch) shapes.push(...band(stretch, x, top, em, false))
  shapes.push(...band(piece, x, top, em, true))
  for (const f of faults) shapes.push(...notch(f, x, top, bottom, em))
  for (const label of labels)
    shapes.push(chartText(label.text, label.x, top - (0.5 + 1.2 * label.row) * em, em, 'start', 'plum'))
  shapes.push(...ruler(from, to, x, bottom, em))
  const markY = bottom + 3.4 * em
  const mark = (value: number | null) => (value === null ? 'no mark' : `mark ${figureText(value, 2)}`)
  shapes.push(chartText(mark(marks.atFrom), x(piece.fromUm), markY, em, 'start', 'ink'))
  shapes.push(chartText(mark(marks.atTo), x(piece.toUm), markY, em, 'end', 'ink'))
  const title = `${piece.ref ?? 'The piece'} on its strip, metres from the end that was outermost at receipt.`
  return {
    width,
    height: markY + 0.6 * em,
    shapes,
    title,
    list: told(on).map((line) => ({ text: line, of: null })),
  }
}

const FILLS: Record<string, Fill> = { drum: 'dots', scrap: 'crossed', trim: 'diagonal', missing: 'crossed' }

function band(
  { fromUm, toUm, use, ref }: DrawnStretch,
  x: (um: number) => number,
  top: number,
  em: number,
  isOwn: boolean,
): Shape[] {
  const [at, end] = [x(fromUm), x(toUm)]
  const name = ref === null ? use : ref
  const room = end - at - em
  const rect: Shape = {
    ...{ kind: 'rect', x: at, y: top, width: end - at, height: BAND_EM * em },
    ...{ fill: isOwn ? 'none' : (FILLS[use] ?? 'none'), stroke: { tone: 'ink', width: isOwn ? 2.4 : 0.8 } },
  }
  if (room < 2 * em) return [rect]
  const fitted = fitText(name, em, room, isOwn)
  const width = textWidth(fitted, em, isOwn)
  return [
    rect,
    {
      ...{ kind: 'text', x: (at + end) / 2, y: top + 0.62 * BAND_EM * em, text: fitted, size: em },
      ...{ anchor: 'middle', bold: isOwn, tone: 'ink', width, halo: true },
    },
  ]
}

/** A fault bites from both sides; a thin line shows how far its place may be off. */
function notch(
  { fromUm, toUm, uncUm }: PieceOnStrip['faults'][number],
  x: (um: number) => number,
  top: number,
  bottom: number,
  em: number,
): Shape[] {
  const [at, end] = [x(fromUm), Math.max(x(toUm), x(fromUm) + 3)]
  const bite = 0.6 * em
  const edge = (y: number, inward: number): Shape => ({
    ...{ kind: 'polygon', fill: 'paper', stroke: { tone: 'plum', width: 1.2 } },
    points: [
      [at - 0.3 * em, y],
      [(at + end) / 2, y + inward],
      [end + 0.3 * em, y],
    ],
  })
  const whisker: Shape = {
    ...{ kind: 'polyline', stroke: { tone: 'plum', width: 1.2 } },
    points: [
      [x(fromUm - uncUm), (top + bottom) / 2],
      [x(toUm + uncUm), (top + bottom) / 2],
    ],
  }
  return [edge(top, bite), edge(bottom, -bite), whisker]
}

function ruler(from: number, to: number, x: (um: number) => number, bottom: number, em: number): Shape[] {
  const [left, right] = [x(from), x(to)]
  return rulerTicks(left, right, from / 1e6, to / 1e6, em, ' m').flatMap((tick): Shape[] => {
    const stroke: Shape = {
      ...{ kind: 'polyline', stroke: { tone: 'quiet', width: 0.8 } },
      points: [
        [tick.x, bottom + 0.2 * em],
        [tick.x, bottom + 0.6 * em],
      ],
    }
    if (tick.label === null) return [stroke]
    // the first and last figure stay within the drawing
    const anchor = tick.x < left + em ? 'start' : tick.x > right - em ? 'end' : 'middle'
    return [stroke, chartText(`${tick.label} m`, tick.x, bottom + 1.8 * em, em, anchor, 'quiet')]
  })
}

function told({ piece, before, after, faults }: PieceOnStrip): string[] {
  const m = (um: number) => figureText(um / 1e6, 2)
  const said = (s: DrawnStretch) =>
    `${s.use}${s.ref === null ? '' : ` ${s.ref}`}, ${m(s.fromUm)} to ${m(s.toUm)} m`
  return [
    ...(before ? [`Before it: ${said(before)}.`] : ['It begins where the strip does.']),
    `The piece: ${said(piece)}.`,
    ...(after ? [`Behind it: ${said(after)}.`] : ['It ends where the strip does.']),
    ...faults.map((f) => `Fault ${f.fault}, ${f.code}: ${m(f.fromUm)} to ${m(f.toUm)} m, ± ${m(f.uncUm)} m.`),
  ]
}
