import type { OrdersPreview } from './api.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { parseWorks } from './parse-works.ts'
import type { Problem } from './problem.ts'
import { type OrdersContent, PASTED, understandOrders } from './table.ts'
import { MAX_PROBLEMS } from './works-files.ts'

const ORDERS = 'orders.csv'

export interface PreviewedOrders {
  preview: Omit<OrdersPreview, 'token'>
  /** orders.csv as it would be stored; null where anything is wrong. */
  ordersCsv: Uint8Array | null
}

/**
 * Pasted or dropped order lines against the works they are for: understood, put into orders.csv (a line of the same
 * number is replaced), and the whole works checked again. Nothing is stored here.
 */
export function previewOrders(
  folder: string,
  files: ReadonlyMap<string, Uint8Array>,
  content: OrdersContent,
): PreviewedOrders {
  const { understood, rows, problems } = understandOrders(content)
  const before = decodeText(files.get(ORDERS) ?? new Uint8Array())
  const { text, replaces, rowsOf } = ordersWithAdded(typeof before === 'string' ? before : '', rows)
  const unread = problems.listed()
  if (rows.length === 0) return { preview: { understood, rows, ...unread, replaces }, ordersCsv: null }
  const ordersCsv = new TextEncoder().encode(text)
  const result = parseWorks(folder, new Map(files).set(ORDERS, ordersCsv))
  if (result.ok)
    return {
      preview: { understood, rows, ...unread, replaces },
      ordersCsv: unread.problems.length > 0 ? null : ordersCsv,
    }
  const own = new Map(rowsOf.map((row, i) => [row, i + 2]))
  const listed = result.problems.map((problem) => {
    const row = problem.file === ORDERS && problem.row !== null ? own.get(problem.row) : undefined
    return row === undefined ? problem : { ...problem, file: PASTED, row }
  })
  return {
    preview: { understood, rows, ...together(unread, { ...result, problems: listed }), replaces },
    ordersCsv: null,
  }
}

interface Listed {
  problems: Problem[]
  more: number
}

/** All at once: what could not be read, and what was read and breaks the contract; a cell is told once. */
function together(unread: Listed, broken: Listed): Listed {
  const told = new Set(unread.problems.map(placeOf))
  const lacking = new Set(unread.problems.filter((p) => p.row === 1).map((p) => p.column))
  const further = broken.problems.filter(
    (p) => p.file !== PASTED || !(told.has(placeOf(p)) || lacking.has(p.column)),
  )
  const all = [...unread.problems, ...further].sort((a, b) => (a.row ?? 0) - (b.row ?? 0))
  const problems = all.slice(0, MAX_PROBLEMS)
  // A column that is not there makes every row wrong: that is told once and not counted row by row.
  const uncounted = lacking.size > 0 ? 0 : broken.more
  return { problems, more: unread.more + uncounted + all.length - problems.length }
}

function placeOf({ row, column }: Problem): string {
  return `${row} ${column}`
}

export interface AddedOrders {
  text: string
  replaces: { order: string; line: number }[]
  /** The row of orders.csv in which each added row stands. */
  rowsOf: number[]
}

/**
 * orders.csv with rows added. A row with the number of one that is there already takes its place; a number that is given
 * twice among the added rows is left twice, so that the check reports it.
 */
export function ordersWithAdded(ordersCsv: string, rows: readonly Record<string, string>[]): AddedOrders {
  const csv = readCsv(ordersCsv)
  const header = csv.header?.cells ?? Object.keys(rows[0] ?? {})
  const [orderAt, lineAt] = [header.indexOf('order'), header.indexOf('line')]
  const table = csv.rows.map((row) => row.cells)
  const placeOf = new Map<string, number>()
  for (const [i, cells] of table.entries()) placeOf.set(keyOf(cells[orderAt] ?? '', cells[lineAt] ?? ''), i)
  const replaces: { order: string; line: number }[] = []
  const rowsOf: number[] = []
  for (const row of rows) {
    const cells = header.map((name) => (Object.hasOwn(row, name) ? (row[name] ?? '') : ''))
    const key = keyOf(row.order ?? '', row.line ?? '')
    const place = placeOf.get(key)
    if (place === undefined) {
      rowsOf.push(table.push(cells) + 1)
      continue
    }
    // Taken once: a second row of that number is appended and then reported as there twice.
    placeOf.delete(key)
    table[place] = cells
    replaces.push({ order: row.order ?? '', line: Number(row.line) })
    rowsOf.push(place + 2)
  }
  return { text: [header, ...table].map(csvLine).join(''), replaces, rowsOf }
}

function keyOf(order: string, line: string): string {
  return `${order} / ${Number(line)}`
}

export function csvLine(cells: readonly string[]): string {
  return `${cells.map((cell) => (/[",\r\n]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell)).join(',')}\r\n`
}
