import type { Market } from '../hall/market.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { lengthText } from '../quantity/length-text.ts'
import type { PieceInterval } from '../strip/cut-plan.ts'
import { declaredText } from './declared-length.ts'
import { type PaperMeta, planText } from './paper-meta.ts'
import { benchLengthId, type NumberedPiece, numberedPieces, pieceId } from './piece-number.ts'

/** Printed on every label before the cut: what is declared comes from the length that was measured. */
export const PLANNED_BANNER = 'PLANNED, NOT A DECLARATION'

/** Room that a label takes, mm; the stock of a printer may be larger. */
export const LABEL_MM = { width: 100, height: 60 }

/** What one label says, field by field, in the words of its market. */
export interface PieceLabel {
  /** Empty on a label that declares. */
  banner: string
  works: string
  /** Kind of thing and cable type. */
  title: string
  /** Declared length in the market's units; of a bench length, what is to be measured off. */
  length: string
  /** Put-up, or the two connectors of a lead. */
  made: string
  lot: string
  order: string
  piece: string
  customer: string
  plan: string
  /** Name of the piece and content of its barcode. */
  id: string
}

/** One label per piece and per lead, in the order of cutting; before the leads of a bench length stands its own ticket. */
export function planLabels(input: PlanInput, plan: Plan, meta: PaperMeta): PieceLabel[] {
  const lots = new Map(input.drums.map((d) => [d.drum, d.lot]))
  const orders = new Map(input.orders.map((o) => [`${o.order} ${o.line}`, o]))
  const markets = new Map(input.markets.map((m) => [m.market, m]))
  const kinds = new Map(input.putups.map((p) => [p.putup, p.kind]))
  const labels: PieceLabel[] = []
  for (const numbered of numberedPieces(plan)) {
    const { piece } = numbered
    const order = orders.get(`${piece.order} ${piece.orderLine}`)
    const market = order && markets.get(order.market)
    if (!order || !market)
      throw new Error(`order ${piece.order}/${piece.orderLine} of the plan is not in the works`)
    const shared = {
      banner: PLANNED_BANNER,
      works: input.site.works.name,
      lot: lots.get(plan.mountings[numbered.mounting]?.drum ?? '') ?? '',
      order: `${order.order}/${order.line}`,
      customer: order.customer,
      plan: planText(meta),
    }
    if (piece.putup === null && numbered.pieceNumber === piece.piece)
      labels.push({ ...shared, ...benchTicket(piece, order, market, numbered, meta) })
    const id = pieceId(meta.planNumber, numbered.sequence)
    const words =
      piece.putup === null ? leadWords(order, market) : bulkWords(piece.putup, market, kinds.get(piece.putup))
    const declaredUm = piece.putup === null ? order.lengthUm : piece.declaredUm
    labels.push({
      ...shared,
      title: `${words.title} ${order.cable}`,
      length: declaredText(declaredUm, market),
      made: words.made,
      piece: pieceText(numbered, order),
      id,
    })
  }
  return labels
}

/** Title and put-up of a bulk piece in the words of its market; `kind` is the put-up's. */
export function bulkWords(
  putup: string,
  market: Market,
  kind: string | undefined,
): { title: string; made: string } {
  const word = kind === 'coil' ? market.words.coil : market.words.drum
  return { title: market.words.coax, made: `${word} ${putup}` }
}

const MEASURED: Record<OrderLine['lengthDefinition'], string> = {
  jacket: 'jacket',
  tip_to_tip: 'tip to tip',
  ref_to_ref: 'between reference planes',
}

export function leadWords(order: OrderLine, market: Market): { title: string; made: string } {
  return {
    title: market.words.lead,
    made: `${order.connA ?? ''} – ${order.connB ?? ''}, ${MEASURED[order.lengthDefinition]}`,
  }
}

function pieceText({ pieceNumber, piece, parts }: NumberedPiece, order: OrderLine): string {
  const text = `${pieceNumber} of ${order.qty}`
  return parts > 1 ? `${text}, part ${piece.part} of ${parts}` : text
}

/** Goes with the uncut length to the bench, and comes off there. */
function benchTicket(
  piece: PieceInterval,
  order: OrderLine,
  market: Market,
  numbered: NumberedPiece,
  meta: PaperMeta,
): Pick<PieceLabel, 'title' | 'length' | 'made' | 'piece' | 'id'> {
  const last = piece.piece + piece.count - 1
  return {
    title: `bench length, ${market.words.lead} ${order.cable}`,
    length: lengthText(piece.toUm - piece.fromUm, 'm', 3),
    made: `cut ${piece.count} × ${lengthText(piece.declaredUm, 'm', 4)}`,
    piece: piece.count > 1 ? `${piece.piece} to ${last} of ${order.qty}` : `${piece.piece} of ${order.qty}`,
    id: benchLengthId(meta.planNumber, numbered.sequence),
  }
}
