import { describe, expect, it } from 'vitest'
import type { OrderLine } from '../../src/order/order-line.ts'
import { needUmFromTyped } from '../../src/quantity/length.ts'
import type { Works } from '../../src/works/works.ts'
import { planned } from '../plan/planned.ts'
import { expectAgreement } from './agrees.ts'
import { refereeIsHere } from './referee.ts'
import { demoWorks } from './works.ts'

const CLOCK_SECONDS = 0.1

/** The demo works with only leads and pieces of lengths that are no whole micrometres, many of them, none of which may be too long. */
async function oddWorks(typed: string, qty: number): Promise<Works> {
  const works = await demoWorks()
  const lead = works.orders.find((o) => o.kind === 'lead')!
  const bulk = works.orders.find((o) => o.kind === 'bulk' && o.singleLength && o.cable === lead.cable)!
  const odd = (of: OrderLine, order: string, more: Partial<OrderLine>): OrderLine => ({
    ...of,
    order,
    line: 1,
    ...{ lengthTyped: typed, lengthUm: needUmFromTyped(typed, 'ft'), unit: 'ft', qty, sameLotGroup: null },
    ...more,
  })
  const drums = works.drums.filter((d) => d.cable === lead.cable && d.status === 'free').slice(0, 6)
  const there = ({ drum }: { drum: string }) => drums.some((d) => d.drum === drum)
  return {
    ...works,
    drums,
    marks: works.marks.filter(there),
    faults: works.faults.filter(there),
    orders: [
      odd(lead, 'L1', { tolPlusMm: 0, matchedSet: null, matchKind: null }),
      odd(lead, 'L2', {
        tolPlusMm: 0.001,
        matchedSet: null,
        matchKind: null,
        lengthDefinition: 'ref_to_ref',
      }),
      odd(bulk, 'B1', { tolPlusPct: 0, tolMinusPct: 0 }),
    ],
  }
}

describe.skipIf(!refereeIsHere)('leads and pieces that are no whole micrometres', () => {
  // the last is finer than a millionth of a foot: a metre as it is reckoned in feet
  it.each([
    ['3.000002', 71],
    ['1.000001', 400],
    ['1.234567', 900],
    ['3.280839895', 300],
  ])('%s ft, %i of them: the referee finds no breach and the same figures', async (typed, qty) => {
    const works = await oddWorks(typed, qty)
    const plan = await planned(works, CLOCK_SECONDS)
    expect(plan.mountings.length).toBeGreaterThan(0)
    expectAgreement(works, plan)
  })
})
