import { readSheet } from 'read-excel-file/universal'
import { LastmetreError } from '../quantity/errors.ts'
import type { SheetCell } from '../works/table.ts'
import { answerFromWorker } from './answer-from-worker.ts'

/** The thread in which a spreadsheet is read: the cells of its first sheet, numbers as numbers and the rest as text. */
await answerFromWorker<Uint8Array, SheetCell[][]>(async (bytes) => {
  try {
    const rows = await readSheet(bytes.slice().buffer as ArrayBuffer, 1)
    return rows.map((row) => row.map(sheetCell))
  } catch {
    throw new LastmetreError('file-unreadable', 'The spreadsheet cannot be read.')
  }
})

function sheetCell(value: unknown): SheetCell {
  if (value === null || value === undefined) return ''
  if (value instanceof Date) return value.toISOString().slice(0, 10)
  if (typeof value === 'boolean') return value ? 'yes' : 'no'
  // A spreadsheet counts in doubles and shows 15 digits: 12.3 may be stored as 12.300000000000001.
  if (typeof value === 'number') return Number(value.toPrecision(15))
  return String(value)
}
