import type { OrderLine } from '../order/order-line.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { CommandOf, WantedPiece } from './command.ts'
import type { LedgerContext } from './context.ts'
import { drumOnLine, notHeld } from './decide-floor.ts'
import { declarePiece } from './declare-piece.ts'
import type { CutPiece, EventBody } from './event.ts'
import { knownOrderLine, knownPutup, knownScrapCause, stripOf } from './known.ts'
import { nextNumber, nextSerial } from './next-number.ts'
import { metres, refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, StripRow } from './state-rows.ts'
import { placesOfMark } from './strip-marks.ts'
import { between, innerUm, inwardOf, inwardUm, outerUm, withinDrum } from './strip-place.ts'

/** A mark that was read and a measured length agree within the larger of these; common practice of the trade. */
const AGREE_UM = 1_000_000
const AGREE_RATIO = 0.01
/** What is beyond the rest by less than this is the rounding of readings: a choice of this program, no source. */
const ROUNDING_UM = 1_000

/** Pieces come off the outer end one after the other, each with its trim inward of it. All are cut or none. */
export function cutPieces(
  state: LedgerState,
  body: CommandOf<'cut-pieces'>,
  context: LedgerContext,
): EventBody {
  const { drum, line, mounting } = body
  const row = drumOnLine(state, context, drum, line)
  notHeld(row)
  const strip = stripOf(state, row)
  let atUm = outerUm(row)
  const pieces = body.pieces.map((wanted, index) => {
    const cut = cutPiece({ row, strip, atUm, context }, wanted, nextSerial(state, context, index))
    atUm = withinDrum(row, inwardOf(row, cut.innerUm, cut.piece.trimUm))
    return cut.piece
  })
  return { kind: 'pieces-cut', drum, strip: row.strip, line, mounting, pieces }
}

interface Knife {
  row: DrumRow
  strip: StripRow
  /** Where the drum's outer end lies now. */
  atUm: LengthUm
  context: LedgerContext
}

function cutPiece(knife: Knife, wanted: WantedPiece, serial: string): { piece: CutPiece; innerUm: LengthUm } {
  const { row, strip, atUm, context } = knife
  const { order, orderLine, putup, measuredUm, standardUm, ...read } = wanted
  if ((order === null) !== (orderLine === null))
    throw refused('An order needs its line, and a line its order.')
  const line = order === null || orderLine === null ? null : knownOrderLine(context, order, orderLine)
  if (line) checkLine(line, row, strip, wanted)
  if (putup !== null) knownPutup(context, putup)
  if (measuredUm <= 0) throw refused('A piece needs a length.')
  const cutUm = placeOfCut(knife, wanted)
  const leftUm = inwardUm(row, cutUm, innerUm(row))
  return {
    piece: {
      ...read,
      serial,
      order,
      orderLine,
      putup,
      measuredUm,
      trimUm: Math.min(wanted.trimUm, leftUm),
      ...between(atUm, cutUm),
      ...declarePiece(context.works, line ?? { standardUm: standardUm ?? null }, measuredUm),
    },
    innerUm: cutUm,
  }
}

function checkLine(line: OrderLine, row: DrumRow, strip: StripRow, wanted: WantedPiece): void {
  const name = `${line.order}/${line.line}`
  if (line.cable !== strip.cable)
    throw refused(`${name} is for ${line.cable}; ${row.drum} holds ${strip.cable}.`)
  if (line.kind === 'bulk' && wanted.count !== 1)
    throw refused(`${name} is no leads; its pieces are one length each.`)
}

/** By the mark where one was read and agrees, else by the measured length. */
function placeOfCut(
  { row, strip, atUm }: Knife,
  { measuredUm, markOuter, markInner }: WantedPiece,
): LengthUm {
  const byLengthUm = lengthInward(row, atUm, measuredUm, 'cut from it')
  const slackUm = Math.max(AGREE_UM, AGREE_RATIO * measuredUm)
  if (markOuter !== null) agreed(row, strip, { mark: markOuter, atUm, slackUm, what: 'the outer end' })
  if (markInner === null) return byLengthUm
  const markUm = agreed(row, strip, { mark: markInner, atUm: byLengthUm, slackUm, what: 'the cut' })
  const placeUm = withinDrum(row, markUm)
  if (inwardUm(row, atUm, placeUm) <= 0)
    throw refused(`Mark ${markInner} lies outward of the outer end of ${row.drum}. Look at the mark again.`)
  return placeUm
}

interface Read {
  mark: number
  /** Where it should be. */
  atUm: LengthUm
  slackUm: LengthUm
  what: string
}

/** Where the mark stands nearest to where it should be; refused beyond the slack. */
function agreed(row: DrumRow, strip: StripRow, { mark, atUm, slackUm, what }: Read): LengthUm {
  const offUm = (placeUm: LengthUm) => Math.abs(inwardUm(row, atUm, placeUm))
  const [nearest] = placesOfMark(strip, mark).sort((a, b) => offUm(a.placeUm) - offUm(b.placeUm))
  if (!nearest) throw refused(`There is no mark ${mark} on ${row.drum}. Look at the mark again.`)
  if (offUm(nearest.placeUm) > slackUm)
    throw refused(
      `Mark ${mark} lies ${metres(offUm(nearest.placeUm))} from where ${what} of ${row.drum} is by its length. Look at mark and reading again.`,
    )
  return nearest.placeUm
}

export function cutOff(state: LedgerState, body: CommandOf<'cut-off'>, context: LedgerContext): EventBody {
  const { drum, line, use, cause } = body
  const row = drumOnLine(state, context, drum, line)
  if (use === 'scrap') knownScrapCause(cause)
  const cut = lengthOff(row, body.lengthUm, 'cut off')
  return { kind: 'length-cut-off', drum, strip: row.strip, line, ...cut, use, cause }
}

/** What is wound off is a drum of its own from then on; what lay outermost lies at its barrel. */
export function windOff(state: LedgerState, body: CommandOf<'wind-off'>, context: LedgerContext): EventBody {
  const { drum, line, putup, place } = body
  knownPutup(context, putup)
  const row = drumOnLine(state, context, drum, line)
  const cut = lengthOff(row, body.lengthUm, 'wound off')
  const newDrum = freeDrumName(state, body.newDrum)
  return { kind: 'remnant-wound-off', drum, strip: row.strip, line, newDrum, ...cut, putup, place }
}

/** The number asked for where no drum has it, or the next remnant's. */
export function freeDrumName(state: LedgerState, wanted: string | null): string {
  if (wanted === null) return nextNumber(state, 'remnant')
  if (state.drums.get(wanted)) throw refused(`The ledger has a drum ${wanted} already; take another number.`)
  return wanted
}

function lengthOff(
  row: DrumRow,
  wantedUm: LengthUm | null,
  what: string,
): { fromUm: LengthUm; toUm: LengthUm; lengthUm: LengthUm } {
  const atUm = outerUm(row)
  const lengthUm = wantedUm ?? inwardUm(row, atUm, innerUm(row))
  if (lengthUm <= 0) throw refused(`Nothing cannot be ${what}; give a length.`)
  const cutUm = wantedUm === null ? innerUm(row) : lengthInward(row, atUm, lengthUm, what)
  return { ...between(atUm, cutUm), lengthUm }
}

/** The place so far inward, where the drum has so much left; what is too little for the coordinate is nothing. */
function lengthInward(row: DrumRow, atUm: LengthUm, lengthUm: LengthUm, what: string): LengthUm {
  const restUm = inwardUm(row, atUm, innerUm(row))
  const placeUm = withinDrum(row, inwardOf(row, atUm, lengthUm))
  if (lengthUm <= restUm + ROUNDING_UM && placeUm !== atUm) return placeUm
  throw refused(
    `${row.drum} has ${metres(restUm)} left; ${metres(lengthUm)} cannot be ${what}, ${metres(Math.max(lengthUm - restUm, 0))} more than there is. If more is left, book More left first.`,
  )
}
