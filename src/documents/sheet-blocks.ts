import type { Block } from './flow.ts'
import type { Pen } from './pen.ts'

/** Letters of a sheet and the distance of their lines, in points; nothing on a sheet is set smaller than 9.5. */
export const TEXT_PT = 9.5
export const LINE_PT = 11.8

export interface Frame {
  left: number
  width: number
}

/** A paragraph under its heading. */
export function headedParagraph(pen: Pen, frame: Frame, heading: string, text: string): Block {
  const lines = pen.wrap(text, frame.width, TEXT_PT)
  const headHeight = 22
  return {
    height: headHeight + lines.length * LINE_PT + 3,
    paint: (y) => {
      pen.text(heading, frame.left, y + 17, { size: 11, weight: 600 })
      for (const [i, line] of lines.entries())
        pen.text(line, frame.left, y + headHeight + 0.8 * LINE_PT + i * LINE_PT, { size: TEXT_PT })
    },
  }
}

/** Sentences with a mark before each, framed where they must be seen first. */
export function sentences(
  pen: Pen,
  frame: Frame,
  title: string,
  items: string[],
  last: string | null,
  framed: boolean,
): Block {
  const pad = framed ? 6 : 0
  const indent = 12
  const width = frame.width - 2 * pad - indent
  const wrapped = items.map((item) => pen.wrap(item, width, TEXT_PT))
  const closing = last === null ? [] : pen.wrap(last, frame.width - 2 * pad, TEXT_PT, 600)
  const lines = 1 + wrapped.reduce((sum, w) => sum + w.length, 0) + closing.length
  const height = lines * LINE_PT + 2 * pad
  const left = frame.left + pad
  return {
    height: height + 5,
    paint: (top) => {
      if (framed) pen.box(frame.left, top, frame.width, height, null, 1.5)
      let y = top + pad + 0.8 * LINE_PT
      const put = (text: string, x: number, weight: 400 | 600) => {
        pen.text(text, x, y, { size: TEXT_PT, weight })
        y += LINE_PT
      }
      put(title, left, 600)
      for (const rows of wrapped) {
        pen.text('!', left + 3, y, { size: TEXT_PT, weight: 600 })
        for (const row of rows) put(row, left + indent, 400)
      }
      for (const row of closing) put(row, left, 600)
    },
  }
}

/** Names and values in two columns; names that are longer than usual push the values inwards. */
export function factGrid(pen: Pen, frame: Frame, facts: [name: string, value: string][]): Block[] {
  const column = frame.width / 2
  const nameWidth = Math.max(62, ...facts.map(([name]) => pen.widthOf(name, TEXT_PT) + 6))
  const cell = (fact: [string, string] | undefined) =>
    fact ? pen.wrap(fact[1], column - nameWidth - 8, TEXT_PT, 600) : []
  const blocks: Block[] = []
  for (let i = 0; i < facts.length; i += 2) {
    const pair = [facts[i], facts[i + 1]]
    const cells = pair.map(cell)
    blocks.push({
      height: Math.max(1, ...cells.map((lines) => lines.length)) * LINE_PT,
      paint: (y) => {
        for (const [side, lines] of cells.entries()) {
          const x = frame.left + side * column
          pen.text(pair[side]?.[0] ?? '', x, y + 0.8 * LINE_PT, { size: TEXT_PT })
          for (const [row, line] of lines.entries())
            pen.text(line, x + nameWidth, y + 0.8 * LINE_PT + row * LINE_PT, { size: TEXT_PT, weight: 600 })
        }
      },
    })
  }
  blocks.push({ height: 4, paint: () => {} })
  return blocks
}

/** Lines to sign on, with what each stands for. */
export function signatures(pen: Pen, frame: Frame, names: string[]): Block {
  const column = frame.width / names.length
  return {
    height: 44,
    paint: (y) => {
      for (const [i, name] of names.entries()) {
        const x = frame.left + i * column
        pen.line(x, y + 29, x + column - 12, y + 29, 0.8)
        pen.text(name, x, y + 40, { size: TEXT_PT, maxWidth: column - 12 })
      }
    },
  }
}
