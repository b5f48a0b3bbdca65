import type { LengthUm } from '../quantity/length.ts'
import type { DrumRow, PieceRow, PieceWhere } from './state-rows.ts'
import { trueUm } from './strip-place.ts'
import { whereWords } from './trace.ts'

/** A stretch of a strip that is bad, its uncertainty counted in; a point where both ends are one. */
export interface BadStretch {
  strip: string
  fromUm: LengthUm
  toUm: LengthUm
}

/** A piece that was touched, where it is now, and what to do with it. */
export interface RecalledPiece {
  serial: string
  cable: string
  lot: string
  strip: string
  fromUm: LengthUm
  toUm: LengthUm
  declaredText: string
  /** The works' day of the cut. */
  day: string
  where: PieceWhere
  whereText: string
  order: string | null
  orderLine: number | null
  customer: string | null
  shipment: string | null
  action: string
}

/** Stock on a drum that was touched. */
export interface RecalledStock {
  drum: string
  strip: string
  fromUm: LengthUm
  toUm: LengthUm
  /** True length of what is touched. */
  lengthUm: LengthUm
  place: string | null
  status: DrumRow['status']
  action: string
}

export interface Recall {
  /** What is called back and why, in words. */
  because: string[]
  pieces: RecalledPiece[]
  stock: RecalledStock[]
  /** More pieces are touched than are listed. */
  leftOff: boolean
}

/** More pieces than this are not listed at once. */
export const MAX_RECALLED = 50_000

/** The stretch with its uncertainty on either side; never below nought. */
export function widened({ strip, fromUm, toUm }: BadStretch, uncUm: number): BadStretch {
  const [a, b] = fromUm <= toUm ? [fromUm, toUm] : [toUm, fromUm]
  return { strip, fromUm: Math.max(0, Math.floor(a - uncUm)), toUm: Math.ceil(b + uncUm) }
}

/** Whether an interval and a bad stretch share cable; a bad point is shared by an interval that holds it, ends included. */
export function touches(of: { fromUm: LengthUm; toUm: LengthUm }, bad: BadStretch): boolean {
  if (bad.fromUm === bad.toUm) return of.fromUm <= bad.fromUm && of.toUm >= bad.toUm
  return of.fromUm < bad.toUm && of.toUm > bad.fromUm
}

export function recalledPiece(piece: PieceRow, day: string, customer: string | null): RecalledPiece {
  const { serial, cable, lot, strip, fromUm, toUm, declaredText, where, order, orderLine, shipment } = piece
  return {
    ...{
      serial,
      cable,
      lot,
      strip,
      fromUm,
      toUm,
      declaredText,
      day,
      where,
      order,
      orderLine,
      customer,
      shipment,
    },
    whereText: whereWords(piece),
    action: actionFor(piece, customer),
  }
}

/** The part of a drum that is touched; null where none is or the drum is empty. `bad` null: all of it. */
export function recalledStock(drum: DrumRow, bad: BadStretch | null): RecalledStock | null {
  if (drum.toUm <= drum.fromUm || (bad !== null && !touches(drum, bad))) return null
  const fromUm = bad ? Math.max(drum.fromUm, bad.fromUm) : drum.fromUm
  const toUm = bad ? Math.min(drum.toUm, bad.toUm) : drum.toUm
  const at = drum.mountedOn ? `stop ${drum.mountedOn}` : `go to ${drum.place ?? 'its place'}`
  return {
    ...{ drum: drum.drum, strip: drum.strip, fromUm, toUm, place: drum.place, status: drum.status },
    lengthUm: trueUm({ fromUm, toUm, ratio: drum.ratio }),
    action: drum.status === 'free' ? `${at} and hold the drum` : `already ${drum.status}: leave it so`,
  }
}

function actionFor({ where, place, shipment, order }: PieceRow, customer: string | null): string {
  switch (where) {
    case 'hall':
      return 'find it in the hall and set it aside'
    case 'shelf':
      return `take it from ${place ?? 'the shelf'} and set it aside`
    case 'shipped':
      return `tell ${customer ?? 'the customer'}${order === null ? '' : `, order ${order}`}${shipment === null ? '' : `, shipment ${shipment}`}`
    case 'returned':
      return 'keep it apart; say so at its inspection'
    case 'scrapped':
      return 'nothing: scrapped'
    case 'restocked':
      return 'nothing by itself: its drum is listed below'
    case 'made into leads':
      return 'nothing by itself: its leads are listed'
  }
}

const ORDER: PieceWhere[] = [
  'hall',
  'shelf',
  'shipped',
  'returned',
  'made into leads',
  'restocked',
  'scrapped',
]

/** What can still be stopped first, then what must be told to customers; within these by customer and serial. */
export function inOrderOfAction(pieces: RecalledPiece[]): RecalledPiece[] {
  const key = (p: RecalledPiece) =>
    `${ORDER.indexOf(p.where)} ${p.customer ?? ''} ${p.shipment ?? ''} ${p.serial}`
  return pieces
    .map((p) => ({ p, k: key(p) }))
    .sort((a, b) => (a.k < b.k ? -1 : a.k > b.k ? 1 : 0))
    .map(({ p }) => p)
}

/** "3 pieces: 1 in the hall, 2 shipped to 1 customer; 240.0 m on 1 drum." */
export function recallSentence({ pieces, stock, leftOff }: Recall): string {
  const at = (where: PieceWhere) => pieces.filter((p) => p.where === where)
  const shipped = at('shipped')
  const customers = new Set(shipped.map((p) => p.customer)).size
  const parts = [
    part(at('hall').length, 'in the hall'),
    part(at('shelf').length, 'on the shelf'),
    part(shipped.length, `shipped to ${customers} ${customers === 1 ? 'customer' : 'customers'}`),
    part(at('returned').length, 'returned'),
    part(
      pieces.length - at('hall').length - at('shelf').length - shipped.length - at('returned').length,
      'gone',
    ),
  ].filter(Boolean)
  const count = `${leftOff ? 'More than ' : ''}${pieces.length} ${pieces.length === 1 ? 'piece is' : 'pieces are'} touched`
  const onDrums = stock.reduce((sum, s) => sum + s.lengthUm, 0) / 1e6
  const drums = `${stock.length} ${stock.length === 1 ? 'drum' : 'drums'}`
  const rest = stock.length === 0 ? 'no stock on drums' : `${onDrums.toFixed(1)} m still on ${drums}`
  return `${count}${parts.length > 0 ? ` (${parts.join(', ')})` : ''}; ${rest}.`
}

function part(count: number, words: string): string {
  return count === 0 ? '' : `${count} ${words}`
}
