import type { LedgerEvent } from '../ledger/event.ts'
import type { LengthUm } from '../quantity/length.ts'

/** What an event of the ledger means for the counter of a line. */
export type LineTurn =
  | { kind: 'mounted'; line: string; drum: string }
  | { kind: 'put away'; line: string }
  /** `lengthUm`: true length that went off the outer end; `pieces`: those among it, from the outer end on. */
  | {
      kind: 'cut'
      line: string
      drum: string
      lengthUm: LengthUm
      pieces: { serial: string; toUm: LengthUm }[]
    }

/** The event as a turn of the line that it speaks of; null where it leaves the outer end where it is. */
export function lineTurn({ body }: LedgerEvent): LineTurn | null {
  switch (body.kind) {
    case 'drum-mounted':
      return { kind: 'mounted', line: body.line, drum: body.drum }
    case 'drum-put-away':
      return body.line === null ? null : { kind: 'put away', line: body.line }
    case 'length-cut-off':
    case 'remnant-wound-off':
      return { kind: 'cut', line: body.line, drum: body.drum, lengthUm: body.lengthUm, pieces: [] }
    case 'pieces-cut': {
      let lengthUm = 0
      const pieces = body.pieces.map(({ serial, measuredUm, trimUm }) => {
        lengthUm += measuredUm
        const piece = { serial, toUm: lengthUm }
        lengthUm += trimUm
        return piece
      })
      return { kind: 'cut', line: body.line, drum: body.drum, lengthUm, pieces }
    }
    default:
      return null
  }
}
