import type { Receipt, ReceiptFault } from '../ledger/receipt.ts'
import { FAULT_CODES, FAULT_SEVERITIES, POSITION_SOURCES } from '../strip/fault.ts'

/** What is typed or pasted at goods in. A figure may have a decimal comma; nothing is guessed beyond that. */

/** Stretches of print on one drum. */
const MOST_STRETCHES = 20
const MOST_FAULTS = 500
const FIGURE = /^\d{1,7}(?:[.,]\d{1,3})?$/

/** A figure with a decimal point or comma; null where it is none. */
export function typedFigure(text: string): number | null {
  const trimmed = text.trim()
  return FIGURE.test(trimmed) ? Number(trimmed.replace(',', '.')) : null
}

/** "3304.9 – 2500", and after a restart of the print "; 0 – 350": both end marks, outer first. */
export function readMarks(text: string): { marks: Receipt['marks'] } | { wrong: string } {
  const marks: Receipt['marks'] = []
  for (const stretch of text.split(';')) {
    const ends = stretch.trim().split(/\s*(?:–|-|\bto\b|\s)\s*/)
    const [outer, inner] = ends.map((end) => typedFigure(end))
    if (ends.length !== 2 || outer == null || inner == null)
      return {
        wrong:
          'Write both marks, the outer one first, such as 3304.9 – 2500; after a restart a second pair behind a ;',
      }
    if (outer === inner) return { wrong: `Both marks are ${outer}; then there is no length between them.` }
    marks.push({ outer, inner })
  }
  if (marks.length > MOST_STRETCHES) return { wrong: `More than ${MOST_STRETCHES} stretches of print.` }
  return { marks }
}

/** What stands where nothing is said, in the order in which columns are taken where there is no header. */
const COLUMNS = ['mark_from', 'mark_to', 'code', 'severity', 'what', 'position_source'] as const

type ColumnName = (typeof COLUMNS)[number]

/**
 * Rows of faults from jacketing's report: pasted from a spreadsheet or typed, cells parted by tab, semicolon or comma; with a
 * header as in faults.csv, or in the order mark from, mark to, code, severity, words. An empty second mark is the first; an
 * empty severity is cut out, which never promises too much.
 */
export function readFaults(text: string): { faults: ReceiptFault[]; wrong: string[] } {
  const rows = text
    .split(/\r?\n/)
    .map((row) => row.trimEnd())
    .filter((row) => row.trim() !== '')
  const separator = ['\t', ';', ','].find((s) => rows[0]?.includes(s)) ?? '\t'
  const cells = rows.map((row) => row.split(separator).map((cell) => cell.trim()))
  const header = cells[0]?.map((c) => c.toLowerCase().replaceAll(' ', '_')) ?? []
  const named = header.includes('mark_from') && header.includes('code')
  const at = (name: ColumnName) => (named ? header.indexOf(name) : COLUMNS.indexOf(name))
  const found: { faults: ReceiptFault[]; wrong: string[] } = { faults: [], wrong: [] }
  for (const [i, row] of cells.entries()) {
    if (named && i === 0) continue
    const fault = faultOf((name) => row[at(name)] ?? '')
    if (typeof fault === 'string') found.wrong.push(`Row ${i + 1}: ${fault}`)
    else found.faults.push(fault)
  }
  if (found.faults.length > MOST_FAULTS) found.wrong.push(`More than ${MOST_FAULTS} faults on one drum.`)
  return found
}

function faultOf(cell: (name: ColumnName) => string): ReceiptFault | string {
  const markFrom = typedFigure(cell('mark_from'))
  const markTo = cell('mark_to') === '' ? markFrom : typedFigure(cell('mark_to'))
  if (markFrom === null || markTo === null) return 'a mark is no figure; write it as printed, such as 1240.5'
  const code = FAULT_CODES.find((c) => c === cell('code').toUpperCase())
  if (!code) return `“${cell('code')}” is no kind of fault; it is one of ${FAULT_CODES.join(', ')}`
  const severity = FAULT_SEVERITIES.find((s) => s === (cell('severity').replaceAll(' ', '_') || 'cut_out'))
  if (!severity) return `“${cell('severity')}” is none of ${FAULT_SEVERITIES.join(', ')}`
  const source = POSITION_SOURCES.find((s) => s === (cell('position_source') || 'mark_read'))
  if (!source) return `“${cell('position_source')}” is none of ${POSITION_SOURCES.join(', ')}`
  return { code, severity, source, markFrom, markTo, what: cell('what').slice(0, 200) || null }
}
