import bwipjs from 'bwip-js/node'
import type { Pen } from './pen.ts'

/** A linear symbol as bars: start and width of each, in modules from its first bar. */
export interface LinearSymbol {
  modules: number
  bars: [start: number, width: number][]
}

/** A square symbol: rows of dark and light modules. */
export interface SquareSymbol {
  modules: number
  dark: (row: number, column: number) => boolean
}

/** Free space that must stay on both sides, in modules: ISO/IEC 15417 asks 10 for Code 128, ISO/IEC 18004 asks 4 for QR. */
export const CODE128_QUIET = 10
export const QR_QUIET = 4

export function code128(text: string): LinearSymbol {
  const [raw] = bwipjs.raw('code128', text, '') as { sbs: number[] }[]
  const bars: [number, number][] = []
  let at = 0
  raw!.sbs.forEach((width, i) => {
    if (i % 2 === 0) bars.push([at, width])
    at += width
  })
  return { modules: at, bars }
}

export function qrCode(text: string): SquareSymbol {
  const [raw] = bwipjs.raw('qrcode', text, 'eclevel=M') as { pixs: number[]; pixx: number }[]
  const { pixs, pixx } = raw!
  return { modules: pixx, dark: (row, column) => pixs[row * pixx + column] === 1 }
}

/** Widest and narrowest module, mm. */
const MODULE_MM = { most: 0.5, least: 0.25 }
/** Dots per inch of an 8 dots/mm printer; at 300 dpi an edge of its modules moves by at most half a dot of 3 to 6. */
const PLAIN_DPI = 203.2

/** The widest module of whole dots, mm, with which the symbol and its quiet zones fit; null where none does. */
export function moduleThatFits(symbol: LinearSymbol, roomMm: number, dpi = PLAIN_DPI): number | null {
  const dotMm = 25.4 / dpi
  // 203 dpi stands for 8 dots a millimetre
  const slack = 0.01
  for (let n = Math.floor(MODULE_MM.most / dotMm + slack); (n + slack) * dotMm >= MODULE_MM.least; n--)
    if ((symbol.modules + 2 * CODE128_QUIET) * n * dotMm <= roomMm) return n * dotMm
  return null
}

/** Bars as filled boxes; `x` is the first bar, quiet zones are the caller's. Sizes in points. */
export function paintLinear(
  pen: Pen,
  symbol: LinearSymbol,
  x: number,
  y: number,
  module: number,
  height: number,
): void {
  for (const [start, width] of symbol.bars) pen.doc.rect(x + start * module, y, width * module, height)
  pen.doc.fill('black')
}

/** Runs of dark modules along each row as one box, so that no seam shows between them. */
export function paintSquare(pen: Pen, symbol: SquareSymbol, x: number, y: number, module: number): void {
  for (let row = 0; row < symbol.modules; row++)
    for (let column = 0; column < symbol.modules; column++) {
      const start = column
      while (column < symbol.modules && symbol.dark(row, column)) column++
      if (column > start)
        pen.doc.rect(x + start * module, y + row * module, (column - start) * module, module)
    }
  pen.doc.fill('black')
}
