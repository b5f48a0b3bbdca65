import type { OrderLine } from '../order/order-line.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { LevelStanding } from './minimum-levels.ts'
import { STOCK_ORDER } from './shelf-piece.ts'

/**
 * The works' own order line for pieces that lack on the shelf: sound, printed, in one length, neither short nor long. Its price is
 * nought, so that no customer's line is ever left out for it. The label is that of the first market that counts in its unit.
 */
export function stockOrderLine(
  { site, markets }: Pick<PlanInput, 'site' | 'markets'>,
  { level }: Pick<LevelStanding, 'level'>,
  line: number,
  qty: number,
): OrderLine {
  const market = markets.find((m) => m.orderUnit === level.unit) ?? markets[0]
  return {
    ...{ order: STOCK_ORDER, line, qty, market: market?.market ?? '', customer: 'our shelf' },
    ...{ channel: 'dealer', kind: 'bulk', cable: level.cable, putup: level.putup },
    ...{ lengthTyped: level.lengthTyped, lengthUm: level.lengthUm, unit: level.unit },
    ...{ tolMinusPct: 0, tolPlusPct: 0, tolMinusMm: null, tolPlusMm: null },
    ...{ singleLength: true, minPieceUm: null, maxParts: null, sameLotGroup: null },
    ...{ faultsAllowed: 'none', printRequired: true, connA: null, connB: null, lengthDefinition: 'jacket' },
    ...{ matchedSet: null, matchKind: null, matchFMhz: null, matchPhaseTolDeg: null },
    ...{ matchDelayNs: null, matchDelayTolPs: null, fTestMhz: null },
    ...{ dueDate: site.works.todayDate, priceEur: 0, note: 'minimum level' },
  }
}

/** The first number that no line of the works' own order has yet. */
export function nextStockLine(orders: readonly OrderLine[]): number {
  return orders.reduce((most, o) => (o.order === STOCK_ORDER ? Math.max(most, o.line) : most), 0) + 1
}
