import type { EventBody } from './event.ts'

/** The pieces that an event names, each once: what a piece's own history is found by. */
export function serialsIn(body: EventBody): string[] {
  switch (body.kind) {
    case 'pieces-cut':
      return body.pieces.map(({ serial }) => serial)
    case 'leads-finished':
      return [body.from, ...body.leads.map(({ serial }) => serial)]
    case 'pieces-shipped':
      return [...new Set(body.serials)]
    case 'piece-received':
    case 'piece-spoiled':
    case 'piece-tested':
    case 'label-printed':
    case 'piece-shelved':
    case 'piece-allotted':
    case 'piece-returned':
    case 'return-inspected':
    case 'piece-corrected':
    case 'complaint-opened':
      return [body.serial]
    default:
      return []
  }
}
