import { MAX_CELL_CHARS, MAX_ROWS } from './works-files.ts'

/** One record of a CSV text. `row` counts as a spreadsheet does: header 1, a quoted line end stays within its row. */
export interface CsvRow {
  row: number
  cells: string[]
  /** Column numbers (from 0) whose quotes or characters break the rules, with what is wrong. */
  faults: { cell: number; wrong: string; right: string }[] | null
}

export interface CsvText {
  header: CsvRow | null
  rows: CsvRow[]
  /** Set where reading had to end early: the rest of the file was not judged. */
  broken: { row: number; cell: number | null; wrong: string; right: string } | null
}

/** RFC 4180, with any mix of CRLF and LF, blank lines skipped; a carriage return alone is a control character. */
export function readCsv(text: string, separator = ','): CsvText {
  const clean = !CONTROL.test(text)
  const found: CsvText = { header: null, rows: [], broken: null }
  let at = 0
  let row = 0
  while (at < text.length) {
    const record: CsvRow = { row: row + 1, cells: [], faults: null }
    const next = readRecord(text, at, separator, record)
    if (next < 0) {
      found.broken = {
        row: record.row,
        cell: record.cells.length,
        wrong: 'a quote is opened and never closed; the rest of the file could not be read',
        right: 'a closing quote; a quote within a quoted cell is written twice',
      }
      return found
    }
    at = next
    if (found.header !== null || !isBlank(record)) row += 1
    if (isBlank(record)) continue
    judgeCells(record, clean)
    if (found.header === null) found.header = record
    else found.rows.push(record)
    if (found.rows.length > MAX_ROWS) {
      found.broken = {
        row: record.row,
        cell: null,
        wrong: `more than ${MAX_ROWS} rows; the rest of the file was not read`,
        right: `at most ${MAX_ROWS} rows`,
      }
      return found
    }
  }
  return found
}

const CONTROL = /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]|\r(?!\n)/

function isBlank(record: CsvRow): boolean {
  return record.cells.length === 1 && record.faults === null && /^[ \t]*$/.test(record.cells[0] ?? '')
}

function fault(record: CsvRow, cell: number, wrong: string, right: string): void {
  record.faults ??= []
  record.faults.push({ cell, wrong, right })
}

/** Reads one record into `record`; returns where the next one begins, or -1 for a quote that is never closed. */
function readRecord(text: string, from: number, separator: string, record: CsvRow): number {
  let at = from
  for (;;) {
    let cell = ''
    const quoted = text[at] === '"'
    if (quoted) {
      const end = readQuoted(text, at + 1)
      if (end < 0) return -1
      cell = text.slice(at + 1, end).replaceAll('""', '"')
      at = end + 1
    }
    const stop = endOfPlain(text, at, separator)
    let rest = text.slice(at, stop)
    if (text[stop] === '\n' && rest.endsWith('\r')) rest = rest.slice(0, -1)
    if (quoted && rest !== '')
      fault(
        record,
        record.cells.length,
        'text follows the closing quote',
        'the quote as last character of the cell',
      )
    else if (rest.includes('"'))
      fault(
        record,
        record.cells.length,
        'a quote within a cell that does not begin with one',
        'the cell in quotes, with its own quotes written twice',
      )
    record.cells.push(cell + rest)
    if (stop >= text.length) return text.length
    at = stop + 1
    if (text[stop] === '\n') return at
    if (at === text.length) {
      record.cells.push('')
      return at
    }
  }
}

/** Index of the closing quote, or -1. */
function readQuoted(text: string, from: number): number {
  let at = from
  for (;;) {
    const quote = text.indexOf('"', at)
    if (quote < 0) return -1
    if (text[quote + 1] !== '"') return quote
    at = quote + 2
  }
}

function endOfPlain(text: string, from: number, separator: string): number {
  const code = separator.charCodeAt(0)
  for (let at = from; at < text.length; at++) {
    const c = text.charCodeAt(at)
    if (c === code || c === 10) return at
  }
  return text.length
}

function judgeCells(record: CsvRow, clean: boolean): void {
  for (const [cell, text] of record.cells.entries()) {
    if (text.length > MAX_CELL_CHARS && [...text].length > MAX_CELL_CHARS)
      fault(
        record,
        cell,
        `the cell has ${[...text].length} characters`,
        `at most ${MAX_CELL_CHARS} characters`,
      )
    if (clean) continue
    const found = CONTROL.exec(text)
    if (found)
      fault(
        record,
        cell,
        `holds the control character U+${text.charCodeAt(found.index).toString(16).toUpperCase().padStart(4, '0')}`,
        'printable text',
      )
  }
}
