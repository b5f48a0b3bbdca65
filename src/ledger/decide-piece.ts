import type { OrderLine } from '../order/order-line.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import { declarePiece, homeMarket, leastUm, lowerBoundUm, textFor } from './declare-piece.ts'
import type { EventBody } from './event.ts'
import { knownOrderLine, knownPiece, whereText } from './known.ts'
import { nextSerial } from './next-number.ts'
import { metres, refused } from './refuse.ts'
import { STOCK_ORDER } from './shelf-piece.ts'
import type { LedgerState } from './state.ts'
import type { PieceRow, PieceWhere } from './state-rows.ts'

const HERE: readonly PieceWhere[] = ['hall', 'shelf']

/** A piece that is in the works and no bench length that was made into leads. */
export function pieceHere(state: LedgerState, serial: string): PieceRow {
  const row = knownPiece(state, serial)
  if (!HERE.includes(row.where)) throw refused(`${serial} is ${whereText(row)}.`)
  return row
}

export function spoilPiece(state: LedgerState, body: CommandOf<'spoil-piece'>): EventBody {
  pieceHere(state, body.serial)
  return { ...body, kind: 'piece-spoiled' }
}

export function testPiece(state: LedgerState, body: CommandOf<'test-piece'>): EventBody {
  const row = knownPiece(state, body.serial)
  if (row.where !== 'returned') pieceHere(state, body.serial)
  return { ...body, kind: 'piece-tested' }
}

export function printLabel(state: LedgerState, body: CommandOf<'print-label'>): EventBody {
  const row = knownPiece(state, body.serial)
  if (row.where === 'scrapped' || row.where === 'restocked')
    throw refused(`${body.serial} is ${whereText(row)}; it gets no label.`)
  return { ...body, kind: 'label-printed', version: row.labelVersion + 1 }
}

export function shelvePiece(state: LedgerState, body: CommandOf<'shelve-piece'>): EventBody {
  const row = pieceHere(state, body.serial)
  if (isBenchLength(row)) throw refused(`${body.serial} is a bench length; its leads go on the shelf.`)
  return { ...body, kind: 'piece-shelved' }
}

/** A piece that is for no order yet serves an order line of its cable type that takes its length. */
export function allotPiece(
  state: LedgerState,
  body: CommandOf<'allot-piece'>,
  context: LedgerContext,
): EventBody {
  const { serial, order, orderLine } = body
  const line = knownOrderLine(context, order, orderLine)
  const row = pieceHere(state, serial)
  if (row.order !== null && row.order !== STOCK_ORDER)
    throw refused(`${serial} is for ${row.order}/${row.orderLine} already.`)
  fits(line, row)
  if (row.declaredUm === null) throw refused(`${serial} is a bench length; allot its leads.`)
  const neededUm = line.singleLength ? leastUm(line) : (line.minPieceUm ?? leastUm(line))
  if (line.kind === 'bulk' && row.declaredUm < neededUm)
    throw refused(
      `${serial} has ${metres(row.declaredUm)}; ${order}/${orderLine} takes no less than ${metres(neededUm)}.`,
    )
  return {
    ...body,
    kind: 'piece-allotted',
    declaredText: textFor(context.works, line.market, row.declaredUm),
  }
}

export function finishLeads(
  state: LedgerState,
  body: CommandOf<'finish-leads'>,
  context: LedgerContext,
): EventBody {
  const { from, leads } = body
  const row = pieceHere(state, from)
  if (!isBenchLength(row)) throw refused(`${from} is no bench length; no leads are made of it.`)
  const left = row.count - (row.leadsDone ?? 0)
  if (leads.length > left)
    throw refused(
      `${from} is for ${row.count} leads and ${left} are left to make; ${leads.length} are too many.`,
    )
  return {
    kind: 'leads-finished',
    from,
    leads: leads.map((lead, index) => {
      const { order, orderLine, lengthUm } = lead
      const line = order === null || orderLine === null ? null : knownOrderLine(context, order, orderLine)
      if (line) fits(line, row)
      const market = line?.market ?? homeMarket(context.works).market
      const declaredText = textFor(context.works, market, lengthUm)
      return { ...lead, serial: nextSerial(state, context, index), declaredText }
    }),
  }
}

/** What was booked of a piece was wrong: its length, its marks, whom it is for. What it declares follows from that. */
export function correctPiece(
  state: LedgerState,
  body: CommandOf<'correct-piece'>,
  context: LedgerContext,
): EventBody {
  const { serial, order, orderLine, measuredUm } = body
  const row = knownPiece(state, serial)
  const kept = order === row.order && orderLine === row.orderLine
  const line = order === null || orderLine === null ? null : lineOf(context, order, orderLine, kept)
  if (row.where === 'restocked')
    throw refused(`${serial} is ${whereText(row)}; measure the rest of its drum.`)
  if (line) fits(line, row)
  if (measuredUm <= 0) throw refused('A piece needs a length.')
  if (row.parent !== null || row.declaredUm === null) {
    keepsLength(row, measuredUm)
    const { declaredUm, declaredText } = row
    return { ...body, kind: 'piece-corrected', declaredUm, declaredText }
  }
  const lowerUm = lowerBoundUm(context.works, measuredUm)
  // what was declared stays declared where the piece still has it
  if (!line && lowerUm >= row.declaredUm && (kept || order === null)) {
    const { declaredUm, declaredText } = row
    return { ...body, kind: 'piece-corrected', declaredUm, declaredText }
  }
  const { declaredUm, declaredText } = declarePiece(
    context.works,
    line ?? { standardUm: lowerUm },
    measuredUm,
  )
  return { ...body, kind: 'piece-corrected', declaredUm, declaredText }
}

/** The order line; null where the piece was made for it and the works has it no longer. */
function lineOf(context: LedgerContext, order: string, orderLine: number, kept: boolean): OrderLine | null {
  const { orders } = context.works
  if (kept && !orders.some((o) => o.order === order && o.line === orderLine)) return null
  return knownOrderLine(context, order, orderLine)
}

/** Of its cable type; leads for an order of leads, pieces for one of bulk. */
function fits(line: OrderLine, row: PieceRow): void {
  const name = `${line.order}/${line.line}`
  if (row.cable !== line.cable) throw refused(`${name} is for ${line.cable}; ${row.serial} is ${row.cable}.`)
  const lead = row.parent !== null || isBenchLength(row)
  if (lead !== (line.kind === 'lead'))
    throw refused(
      `${name} is for ${line.kind === 'lead' ? 'leads' : 'bulk cable'}; ${row.serial} is ${lead ? 'for leads' : 'bulk cable'}.`,
    )
}

function keepsLength({ serial, parent, leadsDone, measuredUm: wasUm }: PieceRow, measuredUm: LengthUm): void {
  if (measuredUm === wasUm) return
  if (parent !== null)
    throw refused(`${serial} is a lead; the length of its bench length ${parent} is what was measured.`)
  if ((leadsDone ?? 0) > 0) throw refused(`Leads have been made of ${serial}; its length stays.`)
}

/** A length that leads are made of: it declares nothing itself. */
export function isBenchLength(row: PieceRow): boolean {
  return row.declaredUm === null
}
