import { type CsvColumn, readHeadings } from './analyser-headings.ts'
import { MAX_POINTS, numberAt, refuse, textLines } from './measured-text.ts'
import type { Sweep, SweepParameter } from './sweep.ts'

const ORDER: SweepParameter[] = ['S11', 'S12', 'S21', 'S22']

/** Lines that analysers put around the table. */
const AROUND = /^\s*([!#%"]?[!#%]|begin\b|end\b)/i

/**
 * A CSV of a network analyser: lines of remarks, one row of headings of which the first is the frequency, then numbers. Cells are
 * set apart by commas, semicolons or tabs; with the last two a comma may be the decimal mark.
 */
export function readAnalyserCsv(
  file: string,
  bytes: Uint8Array,
  nominalOhm: number,
): { sweep: Sweep; hasPhase: boolean; notes: string[] } {
  const lines = textLines(file, bytes)
    .map((text, i) => ({ line: i + 1, text: text.trim() }))
    .filter(({ text }) => text !== '' && !AROUND.test(text))
  const head = lines.findIndex(({ text }) => /^"?\s*(freq|stimulus)/i.test(text))
  if (head < 0) refuse(file, null, 'no row of headings that begins with the frequency.')
  const { line, text } = lines[head]!
  const mark = [';', '\t', ','].find((m) => text.includes(m))
  if (!mark) refuse(file, line, 'the row of headings has only one cell.')
  const notes: string[] = []
  const columns = readHeadings(file, line, cellsOf(text, mark), notes)
  const rows = lines.slice(head + 1).map((row) => readRow(file, row, mark, columns))
  if (rows.length === 0) refuse(file, line, 'there are no data below the headings.')
  if (rows.length > MAX_POINTS) refuse(file, lines.at(-1)!.line, `more than ${MAX_POINTS} frequencies.`)
  rows.forEach((row, i) => {
    const at = lines[head + 1 + i]!.line
    if (row[0]! < 0) refuse(file, at, 'a frequency is below 0.')
    if (i > 0 && !(row[0]! > rows[i - 1]![0]!)) refuse(file, at, 'the frequency does not rise.')
  })
  notes.push(`A CSV does not say its reference impedance; taken as ${nominalOhm} ohm.`)
  return { ...gather(rows, columns, nominalOhm), notes }
}

const cellsOf = (text: string, mark: string): string[] =>
  text.split(mark).map((cell) => cell.trim().replace(/^"(.*)"$/, '$1'))

function readRow(
  file: string,
  { line, text }: { line: number; text: string },
  mark: string,
  columns: CsvColumn[],
): number[] {
  const cells = cellsOf(text, mark)
  while (cells.length > columns.length && cells.at(-1) === '') cells.pop()
  if (cells.length !== columns.length)
    refuse(file, line, `${cells.length} cells under ${columns.length} headings.`)
  return cells.map((cell, i) =>
    columns[i] === null
      ? 0
      : numberAt(file, line, mark === ',' ? cell : cell.replace(/^([+-]?\d*),(\d+)/, '$1.$2')) *
        (i === 0 ? columns[0]!.factor : 1),
  )
}

function gather(
  rows: number[][],
  columns: CsvColumn[],
  nominalOhm: number,
): { sweep: Sweep; hasPhase: boolean } {
  const given = new Map<
    SweepParameter,
    { first: number; second: number | null; format: 'RI' | 'MA' | 'DB' }
  >()
  for (const parameter of ORDER) {
    const at = (quantity: string) => {
      const i = columns.findIndex((c) => c?.parameter === parameter && c.quantity === quantity)
      return i < 0 ? null : i
    }
    const [re, im, size, db, angle] = ['real', 'imaginary', 'size', 'db', 'angle'].map(at)
    if (re != null && im != null) given.set(parameter, { first: re, second: im, format: 'RI' })
    else if (db != null) given.set(parameter, { first: db, second: angle ?? null, format: 'DB' })
    else if (size != null) given.set(parameter, { first: size, second: angle ?? null, format: 'MA' })
  }
  const ports = given.size === 1 && given.has('S11') ? 1 : 2
  const width = ports === 1 ? 2 : 8
  const s = new Float64Array(width * rows.length).fill(Number.NaN)
  for (const [parameter, { first, second, format }] of given)
    rows.forEach((row, i) => {
      const place = i * width + 2 * ORDER.indexOf(parameter)
      const [re, im] = pair(format, row[first]!, second === null ? 0 : row[second]!)
      s[place] = re
      s[place + 1] = im
    })
  return {
    sweep: {
      ports,
      fHz: Float64Array.from(rows, (row) => row[0]!),
      s,
      zRefOhm: ports === 1 ? [nominalOhm] : [nominalOhm, nominalOhm],
    },
    hasPhase: [...given.values()].every(({ second }) => second !== null),
  }
}

function pair(format: 'RI' | 'MA' | 'DB', first: number, second: number): [number, number] {
  if (format === 'RI') return [first, second]
  const size = format === 'DB' ? 10 ** (first / 20) : first
  const angle = (second * Math.PI) / 180
  return [size * Math.cos(angle), size * Math.sin(angle)]
}
