import { LABEL_MM } from '../dispatch/piece-label.ts'
import { type Column, type Columns, column, id, number, Refusal, ref, yesNo } from './column.ts'
import { uniqueRows } from './known-ids.ts'
import { type MoreResult, MoreTables, wholeRecords } from './more-tables.ts'
import { shown } from './problem-list.ts'
import type { Works } from './works.ts'

/** Optional file of `more/`: the label printers of the lines and benches. As strict as the sixteen. */
export const MORE_PRINTER_FILES = ['more/printers.csv'] as const

export type PrinterAddress =
  /** Bytes as they are to a port, as most label printers take them. */
  | { protocol: 'socket'; host: string; port: number }
  /** Internet Printing Protocol (RFC 8010, RFC 8011). */
  | { protocol: 'ipp'; host: string; port: number; path: string }

/** A printer and the one line or bench whose labels it prints. A row of more/printers.csv. */
export interface LabelPrinter {
  printer: string
  line: string
  /** Nothing is sent before a person has switched the printer on. */
  on: boolean
  address: PrinterAddress
  resolutionDpi: number
  mediaMm: { width: number; height: number }
}

export interface MorePrinters {
  /** Absent where nothing is recorded: labels are downloaded then. */
  printers?: LabelPrinter[]
}

/** Port of IPP (RFC 8010); from memory. */
const IPP_PORT = 631
const ADDRESS =
  /^(socket|ipp):\/\/([A-Za-z0-9](?:[A-Za-z0-9.-]{0,251}[A-Za-z0-9])?)(?::(\d{1,5}))?(\/[A-Za-z0-9._~/-]{0,200})?$/
const ADDRESS_RIGHT = 'socket://host:port or ipp://host/path, host a name or an address'
const MEDIA_RIGHT = `width x height in mm, at least ${LABEL_MM.width}x${LABEL_MM.height}, at most 300 either way`

export const PRINTER_COLUMNS: Columns<LabelPrinter> = {
  printer: id('printer'),
  line: ref('line', 'lines.json'),
  on: yesNo('on'),
  address: cell('address', ADDRESS_RIGHT, readAddress),
  resolutionDpi: number('resolution_dpi', { from: 150, to: 1200, whole: true }),
  mediaMm: cell('media_mm', MEDIA_RIGHT, readMedia),
}

/** Reads the optional file against a checked works; a breach refuses it. `line` is a rewinding line or a bench. */
export function parseMorePrinters(
  files: ReadonlyMap<string, Uint8Array>,
  works: Works,
): MoreResult<MorePrinters> {
  const places = [...works.site.lines, ...works.benchHall.benches].map((place) => place.id)
  const tables = new MoreTables(files, MORE_PRINTER_FILES, new Map([['lines.json', new Set(places)]]))
  const table = tables.read('more/printers.csv', PRINTER_COLUMNS)
  if (table) {
    uniqueRows(table, 'printer', 'printer', ({ printer }) => printer, tables.problems)
    uniqueRows(table, 'line', 'line', ({ line }) => line, tables.problems)
  }
  return tables.result(() => {
    const printers = wholeRecords(table)
    return printers ? { printers } : {}
  })
}

function cell<V>(name: string, right: string, read: (text: string) => V | null): Column<V> {
  return column(name, right, (text) => read(text) ?? new Refusal(`${shown(text)} is none`, right))
}

function readAddress(text: string): PrinterAddress | null {
  const [, protocol, host, portText, path] = ADDRESS.exec(text) ?? []
  if (host === undefined || host.includes('..')) return null
  const port = portText === undefined ? IPP_PORT : Number(portText)
  if (port < 1 || port > 65_535) return null
  if (protocol === 'ipp') return { protocol, host, port, path: path ?? '/' }
  return portText === undefined || path !== undefined ? null : { protocol: 'socket', host, port }
}

function readMedia(text: string): LabelPrinter['mediaMm'] | null {
  const [, width, height] = /^(\d{2,3})x(\d{2,3})$/.exec(text)?.map(Number) ?? []
  if (width === undefined || height === undefined) return null
  if (width < LABEL_MM.width || height < LABEL_MM.height || width > 300 || height > 300) return null
  return { width, height }
}
