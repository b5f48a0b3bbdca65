import type { OrderLine } from '../order/order-line.ts'
import type { WhatIf } from '../plan/what-if.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { TryChange } from '../works/api.ts'
import { readCsv } from '../works/csv-text.ts'
import { decodeText } from '../works/decode-text.ts'
import { ordersWithAdded } from '../works/preview-orders.ts'
import type { Works } from '../works/works.ts'
import { loadWorks } from './load-works.ts'
import type { CurrentWorks } from './works-desk.ts'

/** An order line that a change adds, in the works as it would be with it. */
export interface AddedLine {
  line: OrderLine
  works: Works
  ordersCsv: Uint8Array
}

/** What a screen asks for as the planner takes it. An added order line is checked like any that is pasted. */
export function triedChanges(
  { row, files, works }: CurrentWorks,
  asked: TryChange[],
): { changes: WhatIf[]; added: AddedLine | null } {
  const adds = asked.filter((c) => c.kind === 'add')
  if (adds.length > 1) throw new LastmetreError('bad-request', 'One order line can be added at a time.')
  const [add] = adds
  if (!add) return { changes: asked.filter((c) => c.kind !== 'add'), added: null }
  const text = decodeText(files.get('orders.csv') ?? new Uint8Array())
  if (typeof text !== 'string') throw new LastmetreError('bad-request', text.wrong)
  if (works.orders.some((o) => o.order === add.order && o.line === 1))
    throw new LastmetreError('bad-request', `There is an order ${add.order} already.`)
  const ordersCsv = new TextEncoder().encode(ordersWithAdded(text, [cellsOf(text, add)]).text)
  const after = loadWorks({
    name: row.name,
    files: new Map(files).set('orders.csv', ordersCsv),
    problems: [],
  }).works
  const line = after.orders.find((o) => o.order === add.order && o.line === 1)
  if (!line) throw new LastmetreError('bad-request', 'The order line could not be added.')
  return {
    changes: asked.map((c) => (c.kind === 'add' ? { kind: 'add', line } : c)),
    added: { line, works: after, ordersCsv },
  }
}

/** The cells of the line that the new one is like, with what is its own. */
function cellsOf(text: string, add: Extract<TryChange, { kind: 'add' }>): Record<string, string> {
  const csv = readCsv(text)
  const header = csv.header?.cells ?? []
  const [orderAt, lineAt] = [header.indexOf('order'), header.indexOf('line')]
  const like = csv.rows.find(
    ({ cells }) => cells[orderAt] === add.like.order && Number(cells[lineAt]) === add.like.orderLine,
  )
  if (!like)
    throw new LastmetreError('bad-request', `There is no order line ${add.like.order}/${add.like.orderLine}.`)
  return {
    ...Object.fromEntries(header.map((name, i) => [name, like.cells[i] ?? ''])),
    order: add.order,
    line: '1',
    qty: String(add.qty),
    length: add.length,
    due_date: add.dueDate,
    price_eur: String(add.priceEur),
    same_lot_group: '',
    matched_set: '',
    match_kind: '',
    match_f_mhz: '',
    match_phase_tol_deg: '',
    match_delay_ns: '',
    match_delay_tol_ps: '',
    note: '',
  }
}
