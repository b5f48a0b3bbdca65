import type { Block } from './flow.ts'
import type { Pen } from './pen.ts'
import { type Frame, LINE_PT, TEXT_PT } from './sheet-blocks.ts'

export interface Column {
  name: string
  width: number
  anchor: 'start' | 'end'
}

/** Lines of one cell; the first may be set in the heavier weight. */
export interface Cell {
  texts: string[]
  bold?: boolean
  /** A box to tick when it is done. */
  tick?: boolean
  /** More lines than this are cut off, visibly. */
  most?: number
}

const PAD_X = 3
const TICK_PT = 9
const PAD_Y = 2.5

/** A table as one block a row, never broken, under a head that is repeated on each page. Columns share the frame by their widths. */
export function table(pen: Pen, frame: Frame, columns: Column[], rows: Cell[][]): Block[] {
  const total = columns.reduce((sum, c) => sum + c.width, 0)
  const scaled = columns.map((c) => ({ ...c, width: (c.width * frame.width) / total }))
  const head = rowBlock(
    pen,
    frame,
    scaled,
    scaled.map((c) => ({ texts: [c.name], bold: true })),
    1.2,
  )
  return rows.map((row) => ({ ...rowBlock(pen, frame, scaled, row, 0.4), head }))
}

function rowBlock(pen: Pen, frame: Frame, columns: Column[], cells: Cell[], ruleWidth: number): Block {
  const wrapped = cells.map((cell, i) =>
    cell.texts.flatMap((text, k) => {
      const weight: 400 | 600 = cell.bold && k === 0 ? 600 : 400
      return pen.wrap(text, columns[i]!.width - 2 * PAD_X, TEXT_PT, weight).map((line) => ({ line, weight }))
    }),
  )
  for (const [i, lines] of wrapped.entries()) {
    const most = cells[i]?.most ?? lines.length
    if (lines.length > most) {
      lines.length = most
      const last = lines[most - 1]!
      last.line = `${last.line.slice(0, -1)}…`
    }
  }
  const height = Math.max(1, ...wrapped.map((w) => w.length)) * LINE_PT + 2 * PAD_Y
  return {
    height,
    paint: (y) => {
      let x = frame.left
      for (const [i, column] of columns.entries()) {
        const at = column.anchor === 'start' ? x + PAD_X : x + column.width - PAD_X
        for (const [row, { line, weight }] of wrapped[i]!.entries())
          pen.text(line, at, y + PAD_Y + 0.8 * LINE_PT + row * LINE_PT, {
            size: TEXT_PT,
            weight,
            anchor: column.anchor,
          })
        if (cells[i]?.tick)
          pen.box(x + column.width - TICK_PT - PAD_X, y + PAD_Y + 1.5, TICK_PT, TICK_PT, null, 0.7)
        x += column.width
      }
      pen.line(frame.left, y + height, frame.left + frame.width, y + height, ruleWidth)
    },
  }
}
