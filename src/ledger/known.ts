import type { OrderLine } from '../order/order-line.ts'
import type { LedgerContext } from './context.ts'
import { refused } from './refuse.ts'
import { SCRAP_CAUSES } from './scrap-cause.ts'
import { readSerial } from './serial.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, FaultRow, PieceRow, StretchRow, StripRow } from './state-rows.ts'

/** Look-ups that refuse what is not there. */

const LIKE_SERIAL = /^\d{2}-\d{6,9}-\d$/

export function knownDrum(state: LedgerState, drum: string): DrumRow {
  const row = state.drums.get(drum)
  if (!row) throw refused(`The ledger has no drum ${drum}.`)
  return row
}

/** One that still has cable on it. */
export function filledDrum(state: LedgerState, drum: string): DrumRow {
  const row = knownDrum(state, drum)
  if (row.fromUm === row.toUm) throw refused(`${drum} is empty by the book.`)
  return row
}

export function stripOf(state: LedgerState, row: { strip: string }): StripRow {
  const strip = state.strips.get(row.strip)
  if (!strip) throw new Error(`the strip ${row.strip} was not loaded`)
  return strip
}

export function stretchesOf(state: LedgerState, strip: string): StretchRow[] {
  const rows = state.stretches.get(strip)
  if (!rows) throw new Error(`the stretches of ${strip} were not loaded`)
  return rows
}

export function knownPiece(state: LedgerState, serial: string): PieceRow {
  const row = state.pieces.get(serial)
  if (row) return row
  throw refused(
    LIKE_SERIAL.test(serial) && !readSerial(serial)
      ? `${serial} is no serial: its check digit does not fit. Scan or type it again.`
      : `The ledger has no piece ${serial}.`,
  )
}

export function knownFault(state: LedgerState, fault: string): FaultRow {
  const row = state.faults.get(fault)
  if (!row) throw refused(`The ledger has no fault ${fault}.`)
  if (row.withdrawn) throw refused(`Fault ${fault} was withdrawn.`)
  return row
}

/** A rewinding line or a bench place. */
export function knownLine({ works }: LedgerContext, line: string): void {
  if (works.site.lines.some((l) => l.id === line) || works.benchHall.benches.some((b) => b.id === line))
    return
  throw refused(`The works has no line or bench ${line}.`)
}

export function knownCable({ works }: LedgerContext, cable: string): void {
  if (!works.cables.some((c) => c.cable === cable)) throw refused(`The works has no cable type ${cable}.`)
}

export function knownPutup({ works }: LedgerContext, putup: string): void {
  if (!works.putups.some((p) => p.putup === putup)) throw refused(`The works has no put-up ${putup}.`)
}

export function knownOrderLine({ works }: LedgerContext, order: string, line: number): OrderLine {
  const found = works.orders.find((o) => o.order === order && o.line === line)
  if (!found) throw refused(`The works has no order line ${order}/${line}, or has it no longer.`)
  return found
}

export function knownScrapCause(cause: string): void {
  if (SCRAP_CAUSES.some((c) => c === cause)) return
  throw refused(`“${cause}” is no cause of scrap; it is one of ${SCRAP_CAUSES.join(', ')}.`)
}

/** "in the hall", for refusals. */
export function whereText({ where, order, orderLine }: PieceRow): string {
  const now = {
    hall: 'in the hall',
    shelf: 'on the shelf',
    shipped: 'shipped',
    returned: 'returned and waits for inspection',
    scrapped: 'scrapped',
    restocked: 'drum stock again',
    'made into leads': 'made into leads',
  }[where]
  return order !== null && where !== 'restocked' ? `${now}, made for ${order}/${orderLine}` : now
}
