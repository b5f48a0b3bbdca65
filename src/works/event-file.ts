import { z } from 'zod'
import { LastmetreError } from '../quantity/errors.ts'
import { readCsv } from './csv-text.ts'
import { decodeText } from './decode-text.ts'
import { jsonOf, refused } from './plan-read.ts'
import { csvLine, ordersWithAdded } from './preview-orders.ts'

/** What happened in a works since its plan was made. Described in docs/repair.md. */

const id = z.string().min(1).max(200)
const whole = z.number().int().min(1).max(1e6)
/** A row of a works file: column → cell. */
const row = z.record(z.string().max(100), z.union([z.string(), z.number()]))

const happening = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('fault'), row }),
  z.strictObject({ kind: z.literal('order'), row }),
  z.strictObject({ kind: z.literal('cancel'), order: id, line: whole }),
  z.strictObject({ kind: z.literal('hold'), drum: id }),
])

const eventShape = z.strictObject({
  format: z.literal('lastmetre-event'),
  version: z.literal(1),
  made: z.array(z.strictObject({ mounting: whole, intervals: z.number().int().min(0).max(1e6) })).default([]),
  happened: z.array(happening).default([]),
})

export interface WorksEvent {
  /** Cuts that were made: mountings counted from 0. */
  made: { mounting: number; intervals: number }[]
  happened: z.infer<typeof happening>[]
}

export function readEventFile(bytes: Uint8Array): WorksEvent {
  const parsed = eventShape.safeParse(jsonOf(new TextDecoder().decode(bytes), 'The event'))
  if (!parsed.success) throw refused('The event', parsed.error)
  const { made, happened } = parsed.data
  return { made: made.map(({ mounting, intervals }) => ({ mounting: mounting - 1, intervals })), happened }
}

/** The files of a works after what happened; they are checked like any others afterwards. */
export function filesAfter(
  files: ReadonlyMap<string, Uint8Array>,
  happened: WorksEvent['happened'],
): Map<string, Uint8Array> {
  const after = new Map(files)
  const edit = (file: string, change: (text: string) => string) => {
    const text = decodeText(after.get(file) ?? new Uint8Array())
    if (typeof text !== 'string') throw new LastmetreError('event-refused', `${file}: ${text.wrong}.`)
    after.set(file, new TextEncoder().encode(change(text)))
  }
  for (const what of happened) {
    if (what.kind === 'order') edit('orders.csv', (text) => ordersWithAdded(text, [cellsOf(what.row)]).text)
    else if (what.kind === 'fault')
      edit('faults.csv', (text) => withRow(text, 'faults.csv', cellsOf(what.row)))
    else if (what.kind === 'hold') edit('drums.csv', (text) => held(text, what.drum))
    else edit('orders.csv', (text) => cancelled(text, what.order, what.line))
  }
  return after
}

function cellsOf(cells: z.infer<typeof row>): Record<string, string> {
  return Object.fromEntries(Object.entries(cells).map(([name, value]) => [name, String(value)]))
}

function tableOf(text: string): { header: string[]; rows: string[][] } {
  const csv = readCsv(text)
  return { header: csv.header?.cells ?? [], rows: csv.rows.map((r) => r.cells) }
}

function textOf(header: string[], rows: string[][]): string {
  return [header, ...rows].map(csvLine).join('')
}

function withRow(text: string, file: string, cells: Record<string, string>): string {
  const { header, rows } = tableOf(text)
  const unknown = Object.keys(cells).find((name) => !header.includes(name))
  if (unknown !== undefined) throw new LastmetreError('event-refused', `${file} has no column ${unknown}.`)
  const added = header.map((name) => (Object.hasOwn(cells, name) ? (cells[name] ?? '') : ''))
  return textOf(header, [...rows, added])
}

function held(text: string, drum: string): string {
  const { header, rows } = tableOf(text)
  const [drumAt, statusAt] = [header.indexOf('drum'), header.indexOf('status')]
  const found = rows.find((r) => r[drumAt] === drum)
  if (!found) throw new LastmetreError('event-refused', `There is no drum ${drum} to hold.`)
  found[statusAt] = 'qc_hold'
  return textOf(header, rows)
}

function cancelled(text: string, order: string, line: number): string {
  const { header, rows } = tableOf(text)
  const [orderAt, lineAt] = [header.indexOf('order'), header.indexOf('line')]
  const left = rows.filter((r) => r[orderAt] !== order || Number(r[lineAt]) !== line)
  if (left.length === rows.length)
    throw new LastmetreError('event-refused', `There is no order line ${order}/${line} to cancel.`)
  return textOf(header, left)
}
