import type { Market } from '../hall/market.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { LengthUm } from '../quantity/length.ts'
import { figureText, lengthText } from '../quantity/length-text.ts'
import { bulkWords, leadWords, type PieceLabel } from './piece-label.ts'

/** A piece that was cut and measured, as far as its label speaks of it. */
export interface DeclaredPiece {
  serial: string
  cable: string
  lot: string
  order: string | null
  orderLine: number | null
  piece: number | null
  part: number | null
  /** Leads in a bench length. */
  count: number
  putup: string | null
  /** Null of a bench length. */
  declaredUm: LengthUm | null
  declaredText: string
  measuredUm: LengthUm
  markOuter: number | null
  markInner: number | null
  /** A lead is not measured in a bench length any more. */
  isLead: boolean
}

/** What the label of a piece says once it is measured: its serial, and what is declared from the measured length. */
export function declaredLabel(
  works: Pick<PlanInput, 'orders' | 'markets' | 'putups' | 'site'>,
  piece: DeclaredPiece,
  version: number,
): PieceLabel {
  const order = works.orders.find((o) => o.order === piece.order && o.line === piece.orderLine) ?? null
  const market = works.markets.find((m) => m.market === order?.market) ?? works.markets[0]
  if (!market) throw new Error('a works has at least one market')
  return {
    banner: '',
    works: works.site.works.name,
    ...words(works, piece, order, market),
    lot: piece.lot,
    order: piece.order === null ? 'stock' : `${piece.order}/${piece.orderLine}`,
    piece: pieceText(piece, order),
    customer: order?.customer ?? '',
    plan: [marksText(piece), versionText(version)].filter(Boolean).join(' · '),
    id: piece.serial,
  }
}

function words(
  { putups }: Pick<PlanInput, 'putups'>,
  piece: DeclaredPiece,
  order: OrderLine | null,
  market: Market,
): Pick<PieceLabel, 'title' | 'length' | 'made'> {
  if (piece.isLead && order) {
    const { title, made } = leadWords(order, market)
    return { title: `${title} ${piece.cable}`, length: piece.declaredText, made }
  }
  if (piece.declaredUm === null || piece.putup === null)
    return {
      title: `bench length, ${market.words.lead} ${piece.cable}`,
      length: lengthText(piece.measuredUm, 'm', 3),
      made: piece.count === 1 ? 'for one lead' : `for ${piece.count} leads`,
    }
  const { title, made } = bulkWords(piece.putup, market, putups.find((p) => p.putup === piece.putup)?.kind)
  return { title: `${title} ${piece.cable}`, length: piece.declaredText, made }
}

function pieceText({ piece, part, count }: DeclaredPiece, order: OrderLine | null): string {
  if (piece === null) return '1'
  const upTo = count > 1 ? ` to ${piece + count - 1}` : ''
  const of = order ? ` of ${order.open?.qty ?? order.qty}` : ''
  const parts = part !== null && (part > 1 || order?.singleLength === false) ? `, part ${part}` : ''
  return `${piece}${upTo}${of}${parts}`
}

/** A second label on one piece must say that the first one holds no more. */
function versionText(version: number): string {
  return version > 1 ? `label ${version}, replaces label ${version - 1}` : `label ${version}`
}

/** Marks that were read at both cuts. */
function marksText({ markOuter, markInner }: DeclaredPiece): string {
  if (markOuter === null && markInner === null) return ''
  const text = (mark: number | null) => (mark === null ? 'not read' : figureText(mark, 1))
  return `marks ${text(markOuter)} to ${text(markInner)}`
}
