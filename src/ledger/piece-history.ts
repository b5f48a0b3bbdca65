import { lengthText } from '../quantity/length-text.ts'
import type { LedgerEvent } from './event.ts'

/** One thing that happened to a piece. */
export interface PieceHappening {
  seq: number
  at: string
  actor: string
  station: string
  kind: LedgerEvent['body']['kind']
  /** In words, without a full stop. */
  text: string
}

/** What the events say happened to one piece, in their order. */
export function pieceHistory(serial: string, events: LedgerEvent[]): PieceHappening[] {
  return events.map(({ seq, at, actor, sentBy, station, body }) => ({
    ...{ seq, at, actor, station },
    kind: body.kind,
    text: happening(serial, body) + (sentBy === undefined ? '' : `; sent in later by ${sentBy}`),
  }))
}

function happening(serial: string, body: LedgerEvent['body']): string {
  switch (body.kind) {
    case 'pieces-cut': {
      const piece = body.pieces.find((p) => p.serial === serial)
      const of = piece ? `, ${lengthText(piece.measuredUm, 'm')} measured` : ''
      return `cut from ${body.drum} on ${body.line}${of}${piece ? `; inspection: ${piece.inspection}` : ''}`
    }
    case 'piece-received':
      return 'taken in finished when the ledger began'
    case 'leads-finished':
      return body.from === serial
        ? `made into ${body.leads.length} leads`
        : `made from bench length ${body.from}`
    case 'pieces-shipped':
      return `shipped on ${body.shipment}`
    case 'piece-spoiled':
      return `spoiled: ${body.cause}`
    case 'piece-tested':
      return `tested: ${body.passed ? 'passed' : 'failed'}`
    case 'label-printed':
      return `label ${body.version} printed on ${body.printer}: ${body.reason}`
    case 'piece-shelved':
      return `put on the shelf, ${body.place}`
    case 'piece-allotted':
      return `allotted to ${body.order}/${body.orderLine}`
    case 'piece-returned':
      return `came back: ${body.reason}`
    case 'return-inspected':
      return inspected(body)
    case 'piece-corrected':
      return `record corrected: ${body.reason}`
    case 'complaint-opened':
      return `complaint ${body.complaint}: ${body.claim}`
    default:
      return body.kind
  }
}

const VERDICTS = { stock: 'drum stock again', shelf: 'back on the shelf', scrap: 'scrapped' } as const

function inspected(body: Extract<LedgerEvent['body'], { kind: 'return-inspected' }>): string {
  const more = [body.newDrum && `as ${body.newDrum}`, body.place && `at ${body.place}`, body.cause]
  return ['inspected after its return:', VERDICTS[body.verdict], ...more].filter(Boolean).join(' ')
}
