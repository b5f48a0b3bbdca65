import type { CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import { freeDrumName } from './decide-cut.ts'
import { isBenchLength, pieceHere } from './decide-piece.ts'
import type { EventBody } from './event.ts'
import { knownPiece, knownPutup, knownScrapCause, whereText } from './known.ts'
import { refused } from './refuse.ts'
import { STOCK_ORDER } from './shelf-piece.ts'
import type { LedgerState } from './state.ts'
import type { PieceRow } from './state-rows.ts'

/** All or none: each is in the works, made for an order, and neither it nor its lot failed a test or is held. */
export function shipPieces(state: LedgerState, body: CommandOf<'ship-pieces'>): EventBody {
  const seen = new Set<string>()
  for (const serial of body.serials) {
    if (seen.has(serial)) throw refused(`${serial} stands twice on ${body.shipment}.`)
    seen.add(serial)
    mayLeave(state, pieceHere(state, serial))
  }
  return { ...body, kind: 'pieces-shipped' }
}

function mayLeave(state: LedgerState, row: PieceRow): void {
  const { serial, lot } = row
  if (isBenchLength(row)) throw refused(`${serial} is a bench length; its leads are shipped.`)
  if (row.order === null || row.order === STOCK_ORDER)
    throw refused(`${serial} is for no order; allot it first.`)
  if (row.passed === false) throw refused(`${serial} failed its last test.`)
  if (state.lots.get(lot)?.passed === false)
    throw refused(`Lot ${lot} failed its last test; ${serial} is of it.`)
  const drum = state.drums.get(row.drum)
  if (drum?.status === 'qc_hold')
    throw refused(
      `${drum.drum}, from which ${serial} is, is on hold${drum.reason === null ? '' : `: ${drum.reason}`}.`,
    )
}

export function returnPiece(state: LedgerState, body: CommandOf<'return-piece'>): EventBody {
  const row = knownPiece(state, body.serial)
  if (row.where !== 'shipped') throw refused(`${body.serial} was not shipped: it is ${whereText(row)}.`)
  return { ...body, kind: 'piece-returned' }
}

/** 'stock' makes its stretch a drum again, 'shelf' a piece for no order, 'scrap' ends it. */
export function inspectReturn(
  state: LedgerState,
  body: CommandOf<'inspect-return'>,
  context: LedgerContext,
): EventBody {
  const { serial, verdict, place } = body
  if (body.putup !== null) knownPutup(context, body.putup)
  const row = knownPiece(state, serial)
  if (row.where !== 'returned') throw refused(`${serial} is not back: it is ${whereText(row)}.`)
  const none = { newDrum: null, putup: null, place: null, cause: null }
  if (verdict === 'scrap') {
    const cause = body.cause ?? 'return'
    knownScrapCause(cause)
    return { kind: 'return-inspected', serial, verdict, ...none, cause }
  }
  if (place === null) throw refused(`Say where ${serial} is put.`)
  if (verdict === 'shelf') return { kind: 'return-inspected', serial, verdict, ...none, place }
  if (row.parent !== null)
    throw refused(`${serial} is a lead; it is no drum stock. Put it on the shelf or scrap it.`)
  const putup = body.putup ?? row.putup
  if (putup === null) throw refused(`Say on what put-up ${serial} lies.`)
  const newDrum = freeDrumName(state, body.newDrum)
  return { kind: 'return-inspected', serial, verdict, newDrum, putup, place, cause: null }
}
