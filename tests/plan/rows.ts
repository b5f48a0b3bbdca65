import type { OrderLine } from '../../src/order/order-line.ts'
import type { Drum } from '../../src/strip/drum.ts'
import type { Fault } from '../../src/strip/fault.ts'
import type { MarkSegment } from '../../src/strip/mark-segment.ts'

/** Rows of an invented works: what a test does not care about has a plain value. */
export function drumRow(drum: Pick<Drum, 'drum' | 'cable' | 'bookUm'> & Partial<Drum>): Drum {
  return {
    lot: 'L1',
    kind: 'process_drum',
    putup: 'PR-1250',
    receivedDate: '2031-01-02',
    rewinds: 0,
    location: null,
    status: 'free',
    grossKg: 200,
    tareKg: 135,
    endCaps: 'both',
    note: null,
    ...drum,
  }
}

/** Printed in metres from the outer end. */
export function marksOf(drum: Drum): MarkSegment {
  return {
    drum: drum.drum,
    segment: 1,
    fromUm: 0,
    toUm: drum.bookUm,
    markFrom: 0,
    markTo: drum.bookUm / 1e6,
    printUnit: 'm',
  }
}

export function faultRow(
  fault: Pick<Fault, 'fault' | 'drum' | 'markFrom' | 'markTo'> & Partial<Fault>,
): Fault {
  return {
    segment: 1,
    code: 'SPK',
    what: null,
    severity: 'cut_out',
    positionSource: 'mark_read',
    posUncUm: 300_000,
    foundAt: null,
    foundDate: '2031-01-03',
    ...fault,
  }
}

export function bulkRow(
  order: Pick<OrderLine, 'order' | 'cable' | 'lengthUm'> & Partial<OrderLine>,
): OrderLine {
  return {
    line: 1,
    market: 'UK',
    customer: 'D-1',
    channel: 'dealer',
    kind: 'bulk',
    qty: 1,
    lengthTyped: String(order.lengthUm / 1e6),
    unit: 'm',
    tolMinusPct: 0,
    tolPlusPct: 0,
    tolMinusMm: null,
    tolPlusMm: null,
    singleLength: true,
    minPieceUm: null,
    maxParts: null,
    sameLotGroup: null,
    faultsAllowed: 'none',
    printRequired: true,
    putup: null,
    connA: null,
    connB: null,
    lengthDefinition: 'jacket',
    matchedSet: null,
    matchKind: null,
    matchFMhz: null,
    matchPhaseTolDeg: null,
    matchDelayNs: null,
    matchDelayTolPs: null,
    fTestMhz: null,
    dueDate: '2031-03-10',
    priceEur: 100,
    note: null,
    ...order,
  }
}

export function leadRow(
  order: Pick<OrderLine, 'order' | 'cable' | 'lengthUm'> & Partial<OrderLine>,
): OrderLine {
  return bulkRow({
    kind: 'lead',
    tolMinusPct: null,
    tolPlusPct: null,
    tolMinusMm: 0,
    tolPlusMm: 20,
    ...order,
  })
}
