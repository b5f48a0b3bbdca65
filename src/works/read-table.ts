import { type Column, type Columns, isId, Refusal } from './column.ts'
import type { CsvRow, CsvText } from './csv-text.ts'
import type { Notice } from './problem.ts'
import type { ProblemList } from './problem-list.ts'
import { shown } from './problem-list.ts'
import { MAX_COLUMNS } from './works-files.ts'

/** A record of a table with its row; a field is missing where its cell could not be read. */
export interface TableRow<T> {
  row: number
  record: Partial<T>
}

/** A table as far as it could be read: checks across files look only at what is there. */
export interface Table<T> {
  file: string
  rows: TableRow<T>[]
  /** False where the file, or the rest of it, could not be read: then nothing can be said to be missing from it. */
  whole: boolean
}

interface Slot<T> {
  key: keyof T
  column: Column<T[keyof T]>
  /** Number of the column in the file, -1 where it is missing. */
  at: number
}

/** Rows of one CSV as records. Every breach of the table by itself goes to `problems`. */
export function readTable<T>(
  file: string,
  csv: CsvText,
  columns: Columns<T>,
  mayBeEmpty: boolean,
  problems: ProblemList,
  notices: Notice[],
): Table<T> {
  const table: Table<T> = { file, rows: [], whole: csv.broken === null }
  if (csv.header === null) {
    if (csv.broken === null)
      problems.add(file, null, null, 'the file is empty', `a header row with ${nameList(columns)}`)
    else problems.add(file, csv.broken.row, null, csv.broken.wrong, csv.broken.right)
    table.whole = false
    return table
  }
  const header = csv.header
  if (header.cells.length > MAX_COLUMNS) {
    problems.add(
      file,
      header.row,
      null,
      `the header has ${header.cells.length} columns`,
      `at most ${MAX_COLUMNS}`,
    )
    table.whole = false
    return table
  }
  const slots = readHeader(file, header, columns, problems, notices)
  for (const row of csv.rows)
    table.rows.push({ row: row.row, record: readRow(file, row, header, slots, problems) })
  if (csv.broken) {
    const column = csv.broken.cell === null ? null : (header.cells[csv.broken.cell] ?? null)
    problems.add(file, csv.broken.row, column, csv.broken.wrong, csv.broken.right)
  } else if (csv.rows.length === 0 && !mayBeEmpty) {
    problems.add(file, null, null, 'the file has a header but no rows', 'at least one row')
    table.whole = false
  }
  return table
}

function nameList<T>(columns: Columns<T>): string {
  const names = (Object.values(columns) as Column<unknown>[]).map((c) => c.name)
  return names.length > 6 ? `${names.slice(0, 6).join(', ')} and ${names.length - 6} more` : names.join(', ')
}

function readHeader<T>(
  file: string,
  header: CsvRow,
  columns: Columns<T>,
  problems: ProblemList,
  notices: Notice[],
): Slot<T>[] {
  for (const fault of header.faults ?? [])
    problems.add(file, header.row, header.cells[fault.cell] ?? null, fault.wrong, fault.right)
  const at = new Map<string, number>()
  for (const [i, name] of header.cells.entries()) {
    if (!at.has(name)) at.set(name, i)
    else problems.add(file, header.row, name, `the column ${shown(name)} is there twice`, 'each column once')
  }
  const known = new Set<string>()
  const slots: Slot<T>[] = []
  for (const key of Object.keys(columns) as (keyof T & string)[]) {
    const column = columns[key] as Column<T[keyof T]>
    known.add(column.name)
    const place = at.get(column.name) ?? -1
    slots.push({ key, column, at: place })
    if (place >= 0) continue
    const near = header.cells.find((name) => loose(name) === loose(column.name))
    const hint = near === undefined ? '' : ` (${shown(near)} is not the same name)`
    problems.add(
      file,
      header.row,
      column.name,
      `the column is missing${hint}`,
      `a column named ${column.name}`,
    )
  }
  for (const name of at.keys()) {
    if (known.has(name)) continue
    const text = `The column ${shown(name)} is not known here and is ignored.`
    notices.push({ file, row: header.row, column: name, text, kind: 'unknown-column' })
  }
  return slots
}

function loose(name: string): string {
  return name.toLowerCase().replace(/[^a-z0-9]/g, '')
}

function readRow<T>(
  file: string,
  row: CsvRow,
  header: CsvRow,
  slots: Slot<T>[],
  problems: ProblemList,
): Partial<T> {
  const record: Partial<T> = {}
  const width = header.cells.length
  for (const fault of row.faults ?? [])
    problems.add(file, row.row, header.cells[fault.cell] ?? null, fault.wrong, fault.right)
  if (row.cells.length !== width) {
    problems.add(
      file,
      row.row,
      null,
      `the row has ${cellCount(row.cells.length)}`,
      `${cellCount(width)}, as the header`,
    )
    readIds(row, slots, record)
    return record
  }
  for (const { key, column, at } of slots) {
    if (at < 0 || row.faults?.some((fault) => fault.cell === at)) continue
    const text = row.cells[at]!
    if (text === '') {
      if (column.empty === undefined)
        problems.add(file, row.row, column.name, 'the cell is empty', column.right)
      else record[key] = column.empty
      continue
    }
    const value = column.read(text)
    if (value instanceof Refusal) problems.add(file, row.row, column.name, value.wrong, value.right)
    else record[key] = value
  }
  return record
}

function cellCount(count: number): string {
  return count === 1 ? '1 cell' : `${count} cells`
}

/** A row of the wrong width still says by its leading id what it is about, so that references to it are not reported as well. */
function readIds<T>(row: CsvRow, slots: Slot<T>[], record: Partial<T>): void {
  const first = slots[0]
  const text = first && first.at >= 0 ? row.cells[first.at] : undefined
  if (first && text !== undefined && isId(text)) record[first.key] = text as T[keyof T]
}
