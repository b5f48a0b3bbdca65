import type { PlanInput } from '../plan/plan-input.ts'
import type { Command, CommandOf } from './command.ts'
import type { LedgerContext } from './context.ts'
import { homeMarket, textFor } from './declare-piece.ts'
import type { EventOf, LedgerEvent } from './event.ts'
import type { FinishedPiece } from './finished-piece.ts'
import { knownCable, knownPutup } from './known.ts'
import { tookSerial } from './next-number.ts'
import { metres, refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import { BEFORE_LEDGER } from './state-rows.ts'

/**
 * Records that book the finished pieces of the folder which the ledger does not know.
 * @param known strips that the ledger holds or has held
 * @param at ISO 8601, UTC
 */
export function openingPieces(
  works: PlanInput,
  pieces: readonly FinishedPiece[],
  known: ReadonlySet<string>,
  at: string,
): Command[] {
  const guard = works.site.cutRules.lengthGuardRatio
  return pieces
    .filter(({ serial }) => !known.has(serial))
    .map(({ serial, cable, lot, putup, declaredUm, measuredUm, place, madeDate }) => ({
      ...{ key: `opening.piece.${serial}`, at, station: 'server', planId: null, corrects: null },
      body: {
        kind: 'receive-piece',
        ...{ serial, cable, lot, putup, place, declaredUm, madeDate },
        // a piece that was not measured is as long as the works cuts it, and as sure as its guard at two standard deviations
        lengthUm: measuredUm ?? Math.ceil(declaredUm * (1 + guard)),
        lengthUncUm: Math.ceil((declaredUm * guard) / 2),
      },
    }))
}

/** Takes in a finished piece that was made before the ledger began. */
export function receivePiece(
  state: LedgerState,
  body: CommandOf<'receive-piece'>,
  context: LedgerContext,
): EventOf<'piece-received'> {
  const { serial, lengthUm, declaredUm } = body
  knownCable(context, body.cable)
  knownPutup(context, body.putup)
  if (declaredUm > lengthUm)
    throw refused(`${serial} has ${metres(lengthUm)} and would be declared as ${metres(declaredUm)}.`)
  if (state.pieces.get(serial) || state.strips.get(serial))
    throw refused(`The ledger has a ${state.pieces.get(serial) ? 'piece' : 'drum'} ${serial} already.`)
  const declaredText = textFor(context.works, homeMarket(context.works).market, declaredUm)
  return { ...body, kind: 'piece-received', declaredText }
}

/** A strip that is one piece, on the shelf, of no order. */
export function pieceReceived(
  state: LedgerState,
  event: Omit<LedgerEvent, 'body'>,
  body: EventOf<'piece-received'>,
): void {
  const { serial, cable, lot, lengthUm, lengthUncUm } = body
  const { seq, at } = event
  const whole = { fromUm: 0, toUm: lengthUm }
  // one of ours, from a ledger before this one: its number is taken
  tookSerial(state, serial)
  state.strips.put(serial, {
    ...{ strip: serial, cable, lot, lengthUm, lengthUncUm, seq },
    ...{ receivedAt: body.madeDate ?? at, origin: 'opening' as const },
    marks: [{ ...whole, markFrom: null, markTo: null, printUnit: 'none' }],
  })
  state.stretches.put(serial, [
    { strip: serial, ...whole, use: 'piece', ref: serial, cause: null, ratio: 1, seq },
  ])
  state.pieces.put(serial, {
    ...{ serial, cable, lot, strip: serial, ...whole, drum: serial, parent: null, line: BEFORE_LEDGER, seq },
    at: body.madeDate ?? at,
    ...{ actor: event.actor, station: event.station, planId: null },
    ...{ order: null, orderLine: null, piece: null, part: null, count: 1, putup: body.putup },
    ...{ measuredUm: lengthUm, uncUm: lengthUncUm, counterM: null, markOuter: null, markInner: null },
    ...{ declaredUm: body.declaredUm, declaredText: body.declaredText, inspection: 'made before the ledger' },
    ...{ labelVersion: 1, tools: [], figures: [], passed: null, where: 'shelf', place: body.place },
    shipment: null,
  })
  state.movements.push({
    ...{ seq, n: 0, at, cable, lot, strip: serial, line: null, actor: event.actor },
    ...{ what: 'received', um: lengthUm, uncUm: lengthUncUm, cause: 'opening' },
  })
}
