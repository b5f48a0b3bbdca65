import type { OrdersPreview } from './api.ts'
import { readCsv } from './csv-text.ts'
import { ORDER_NAMES, readHeadings } from './order-headings.ts'
import { findNotation, orderCell } from './pasted-values.ts'
import { ProblemList, shown } from './problem-list.ts'
import { MAX_COLUMNS, MAX_FILE_BYTES, MAX_ROWS } from './works-files.ts'

/** A cell of a workbook: a number that is stored as one has no decimal mark to be understood; text may have one. */
export type SheetCell = string | number

/** What people paste or drop: text from a spreadsheet, or the cells of a workbook sheet. */
export type OrdersContent = { text: string } | { cells: readonly (readonly SheetCell[])[] }

/** Where the problems of pasted content are; its rows count the header as 1 and no blank lines. */
export const PASTED = 'pasted content'

export interface UnderstoodOrders {
  understood: OrdersPreview['understood']
  /** In the columns of orders.csv, as text. */
  rows: Record<string, string>[]
  problems: ProblemList
}

/** A column without which an order line says too little; the others have a default. */
const NEEDED = [
  'order',
  'market',
  'customer',
  'channel',
  'cable',
  'qty',
  'length',
  'unit',
  'due_date',
  'price_eur',
]

/** Recognises a table of order lines: separator, headings, decimal mark, dates. What is not certain becomes a problem. */
export function understandOrders(content: OrdersContent): UnderstoodOrders {
  const problems = new ProblemList([PASTED])
  const { source, cells } =
    'text' in content
      ? splitText(content.text, problems)
      : { source: 'xlsx' as const, cells: sheet(content.cells, problems) }
  const [header = [], ...body] = withinWidth(cells, problems)
  const headings = readHeadings(header.map(String))
  const used = headings.flatMap(({ takenAs }, at) => (takenAs === null ? [] : [{ name: takenAs, at }]))
  const notation = findNotation(
    used.map(({ name, at }) => ({ name, cells: body.flatMap((row) => textCell(row[at])) })),
    source === 'comma',
  )
  const headingUnit = headings.find((h) => h.unit !== null)?.unit ?? null
  const missing = missingColumns(used, headingUnit, cells.length > 0, problems)
  const rows = body.map((row, i) => {
    const record: Record<string, string> = Object.fromEntries(ORDER_NAMES.map((name) => [name, '']))
    if (row.length > headings.length)
      problems.add(
        PASTED,
        i + 2,
        null,
        `the row has ${row.length} cells`,
        `at most ${headings.length}, as the header`,
      )
    for (const { name, at } of used) {
      const cell = row[at] ?? ''
      const value = typeof cell === 'number' ? String(cell) : orderCell(name, cell, notation)
      record[name] = typeof value === 'string' ? value : String(cell).trim()
      if (typeof value !== 'string') problems.add(PASTED, i + 2, name, value.wrong, value.right)
    }
    return record
  })
  const names = used.map(({ name }) => name)
  const filled = fillDefaults(rows, names, headingUnit)
  const notes = missing ? [] : filled
  if (
    rows.some((row) => row.due_date !== '') &&
    body.some((row) => row.some((cell) => /^\d{1,2}\/\d{1,2}\/\d{4}$/.test(String(cell).trim())))
  )
    notes.push(`Dates with slashes are read ${notation.slashes}.`)
  const columns = headings.map(({ found, takenAs }) => ({ found, takenAs }))
  return {
    understood: { source, decimalMark: notation.decimalMark, rows: rows.length, columns, notes },
    rows,
    problems,
  }
}

function textCell(cell: SheetCell | undefined): string[] {
  return typeof cell === 'string' ? [cell.trim()] : []
}

type Source = OrdersPreview['understood']['source']

function splitText(text: string, problems: ProblemList): { source: Source; cells: string[][] } {
  if (text.length > MAX_FILE_BYTES) {
    problems.add(PASTED, null, null, `the content has ${text.length} characters`, 'at most 20 MB')
    return { source: 'tab', cells: [] }
  }
  const plainText = text.replace(/^\uFEFF/, '').replace(/\r(?!\n)/g, '\n')
  const first = plainText.split('\n', 50).find((line) => line.trim() !== '') ?? ''
  const source = first.includes('\t') ? 'tab' : first.includes(';') ? 'semicolon' : 'comma'
  const csv = readCsv(plainText, { tab: '\t', semicolon: ';', comma: ',' }[source])
  const records = csv.header ? [csv.header, ...csv.rows] : []
  const filled = records.filter((record) => record.cells.some((cell) => cell.trim() !== ''))
  for (const [i, record] of filled.entries())
    for (const fault of record.faults ?? [])
      problems.add(PASTED, i + 1, filled[0]?.cells[fault.cell] ?? null, fault.wrong, fault.right)
  if (csv.broken) problems.add(PASTED, csv.broken.row, null, csv.broken.wrong, csv.broken.right)
  return { source, cells: filled.map((record) => record.cells) }
}

function withinWidth(cells: SheetCell[][], problems: ProblemList): SheetCell[][] {
  const wide = cells[0]?.length ?? 0
  if (wide <= MAX_COLUMNS) return cells
  problems.add(PASTED, 1, null, `the header has ${wide} columns`, `at most ${MAX_COLUMNS}`)
  return []
}

function sheet(cells: readonly (readonly SheetCell[])[], problems: ProblemList): SheetCell[][] {
  if (cells.length > MAX_ROWS + 1) {
    problems.add(PASTED, null, null, `the sheet has ${cells.length} rows`, `at most ${MAX_ROWS} rows`)
    return []
  }
  return cells.filter((row) => row.some((cell) => String(cell).trim() !== '')).map((row) => [...row])
}

function missingColumns(
  used: { name: string }[],
  headingUnit: 'm' | 'ft' | null,
  hasContent: boolean,
  problems: ProblemList,
): boolean {
  if (!hasContent) {
    if (problems.count === 0)
      problems.add(PASTED, null, null, 'there is nothing in it', 'a header row and order lines')
    return true
  }
  const names = new Set(used.map(({ name }) => name))
  const lacking = NEEDED.filter((name) => !names.has(name) && !(name === 'unit' && headingUnit !== null))
  if (used.length === 0)
    problems.add(
      PASTED,
      1,
      null,
      'the first row names no column of order lines',
      `names such as ${NEEDED.join(', ')}`,
    )
  else
    for (const name of lacking)
      problems.add(PASTED, 1, name, `no column is understood as ${shown(name)}`, `a column named ${name}`)
  return lacking.length > 0
}

/** Columns that pasted content need not have, and what stands for them; each default is said. */
function fillDefaults(
  rows: Record<string, string>[],
  names: string[],
  headingUnit: 'm' | 'ft' | null,
): string[] {
  const notes: string[] = []
  const fill = (name: string, makeValue: (row: Record<string, string>) => string, note: string) => {
    if (names.includes(name)) return
    for (const row of rows) row[name] = makeValue(row)
    notes.push(note)
  }
  if (headingUnit !== null)
    fill('unit', () => headingUnit, `Lengths are in ${headingUnit}, as the heading says.`)
  const lines = new Map<string, number>()
  const nextLine = ({ order = '' }: Record<string, string>) => {
    const next = (lines.get(order) ?? 0) + 1
    lines.set(order, next)
    return String(next)
  }
  const isLead = (row: Record<string, string>) => row.kind === 'lead'
  fill('line', nextLine, 'Lines are numbered 1, 2, … within each order.')
  fill(
    'kind',
    (r) => (r.conn_a || r.conn_b ? 'lead' : 'bulk'),
    'A line with connectors is a line of leads, every other one bulk.',
  )
  fill('single_length', () => 'yes', 'Each piece is in one length.')
  fill('faults_allowed', () => 'none', 'No faults are allowed.')
  fill('print_required', () => 'yes', 'Print is required.')
  fill(
    'length_definition',
    (r) => (isLead(r) ? 'tip_to_tip' : 'jacket'),
    'Bulk is measured over the jacket, leads tip to tip.',
  )
  if (!names.some((name) => name.startsWith('tol_'))) notes.push('No tolerance is given: none is allowed.')
  return notes
}
