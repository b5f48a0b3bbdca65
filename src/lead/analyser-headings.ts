import { refuse, shown } from './measured-text.ts'
import type { SweepParameter } from './sweep.ts'
import { HZ_PER_UNIT } from './touchstone-option.ts'

/** What a column of an analyser's CSV holds; null: nothing that is used. Angles are degrees. */
export type CsvColumn = {
  parameter: SweepParameter | 'frequency'
  quantity: 'real' | 'imaginary' | 'size' | 'db' | 'angle' | 'frequency'
  factor: number
} | null

/** Words by which analysers call a quantity; the first that fits counts. */
const QUANTITIES: [RegExp, NonNullable<CsvColumn>['quantity']][] = [
  [/\b(re|real)\b/i, 'real'],
  [/\b(im|imag|imaginary)\b/i, 'imaginary'],
  [/\b(deg|degrees?|phase|ang|angle)\b|°/i, 'angle'],
  [/\b(db|log ?mag)\b/i, 'db'],
  [/\b(mag|magnitude|lin|lin ?mag|abs)\b/i, 'size'],
]

/** Reads `Freq(Hz),S11(DB),S11(DEG),re:Trc1_S21 …`. What is not understood is passed over with a note. */
export function readHeadings(file: string, line: number, cells: string[], notes: string[]): CsvColumn[] {
  const unit = /\b(hz|khz|mhz|ghz)\b/i.exec(cells[0]!)?.[1]?.toLowerCase()
  const factor = unit ? Object.entries(HZ_PER_UNIT).find(([name]) => name.toLowerCase() === unit)![1] : 1
  if (!unit) notes.push('The frequency has no unit in its heading; taken as Hz.')
  const columns = cells.map((cell, i): CsvColumn => {
    if (i === 0) return { parameter: 'frequency', quantity: 'frequency', factor }
    const column = readHeading(cell)
    if (!column && cell !== '') notes.push(`Column ${shown(cell)} is not used.`)
    return column
  })
  const seen = new Set<string>()
  for (const column of columns) {
    if (!column) continue
    const key = `${column.parameter} ${column.quantity}`
    if (seen.has(key)) refuse(file, line, `${key} stands in two columns.`)
    seen.add(key)
  }
  if (seen.size < 2 || ![...seen].some((key) => /real|db|size/.test(key)))
    refuse(file, line, 'no column holds S11, S21, S12 or S22 as dB, magnitude, or real and imaginary part.')
  return columns
}

function readHeading(cell: string): CsvColumn {
  const place = /s[\s_(]*([12])[\s,_]*([12])(?!\d)/i.exec(cell)
  if (!place) return null
  const words = cell.replace(place[0], ' ').replace(/[_:()[\],;/]/g, ' ')
  if (/\brad\b/i.test(words)) return null
  const quantity = QUANTITIES.find(([called]) => called.test(words))?.[1]
  if (!quantity) return null
  return { parameter: `S${place[1]}${place[2]}` as SweepParameter, quantity, factor: 1 }
}
