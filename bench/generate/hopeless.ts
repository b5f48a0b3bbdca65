import type { CableType } from '../../src/cable/cable-type.ts'
import type { Costs } from '../../src/hall/costs.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { UsableDrum } from '../../src/strip/usable.ts'
import { price } from './order-lines.ts'
import type { Random } from './random.ts'
import { daysBefore } from './stock.ts'

/**
 * One line for each cable that nothing in stock can serve: in turn longer than every clean stretch, on a put-up
 * that is too small for it, and on unmarked wood for a market that asks for marked wood.
 */
export function hopelessLines(
  random: Random,
  cables: CableType[],
  drums: UsableDrum[],
  costs: Costs,
  today: string,
): OrderLine[] {
  return cables.map((cable, i) => {
    const longestUm = drums
      .filter((d) => d.drum.cable === cable.cable)
      .flatMap((d) => d.clean)
      .reduce((most, s) => Math.max(most, s.toUm - s.fromUm), 0)
    const case3 = i % 3
    const lengthM = case3 === 0 ? Math.ceil(longestUm / 1e6) + 25 : case3 === 1 ? 1500 : 40
    const line: OrderLine = {
      order: String(9901 + i),
      line: 1,
      market: 'ISLE',
      customer: 'X-79 Corvannen Supply',
      channel: 'export',
      kind: 'bulk',
      cable: cable.cable,
      qty: 1,
      lengthTyped: String(lengthM),
      lengthUm: lengthM * 1e6,
      unit: 'm',
      tolMinusPct: 0,
      tolPlusPct: 1,
      tolMinusMm: null,
      tolPlusMm: null,
      singleLength: true,
      minPieceUm: null,
      maxParts: null,
      sameLotGroup: null,
      faultsAllowed: 'none',
      printRequired: true,
      connA: null,
      connB: null,
      lengthDefinition: 'jacket',
      putup: case3 === 0 ? null : case3 === 1 ? 'C-200' : 'WU-1100',
      matchedSet: null,
      matchKind: null,
      matchFMhz: null,
      matchPhaseTolDeg: null,
      matchDelayNs: null,
      matchDelayTolPs: null,
      fTestMhz: null,
      dueDate: daysBefore(today, -random.whole(1, 24)),
      priceEur: 0,
      note: null,
    }
    return { ...line, priceEur: price(random, line, costs) }
  })
}
