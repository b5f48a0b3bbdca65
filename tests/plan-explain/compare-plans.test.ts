import { describe, expect, it } from 'vitest'
import { comparePlans, savingProven } from '../../src/plan/compare-plans.ts'
import { differenceText, surenessText } from '../../src/plan/explain-text.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { hiddenPlan, SMALL } from '../plan-referee/works.ts'

const { plan } = hiddenPlan({ ...SMALL, seed: 31 })
const EUR = 1_000_000

/** A plan of one cable that costs so much and could cost so much less at most. */
function costing(costEur: number, gapEur: number, unservedEur = 0): Plan {
  const costMicro = costEur * EUR
  return {
    ...plan,
    costMicro,
    unservedMicro: unservedEur * EUR,
    byCable: [
      { cable: 'C', costMicro, boundMicro: costMicro - gapEur * EUR, deliveredMicro: 0 },
      { cable: 'OTHER', costMicro: 0, boundMicro: -999 * EUR, deliveredMicro: 0 },
    ],
  }
}

const compared = (a: Plan, b: Plan) => comparePlans(a, b, new Set(['C']))

describe('the difference of two plans', () => {
  it('is proven where it is larger than the gap of the dearer plan', () => {
    const c = compared(costing(100, 5), costing(80, 3))
    expect(c.savesMicro).toBe(20 * EUR)
    // the best plans cost 95 to 100 and 77 to 80
    expect(c.savesBetweenMicro).toEqual({ least: 15 * EUR, most: 23 * EUR })
    expect(savingProven(c)).toBe(true)
    expect(differenceText(c)).toBe('costs 20.00 EUR less')
    expect(surenessText(c)).toContain('at most 5.00 EUR and by at most 3.00 EUR')
    expect(surenessText(c)).toContain('it lies from 15.00 EUR to 23.00 EUR')
  })

  it('is not proven where it is smaller', () => {
    const c = compared(costing(100, 30), costing(80, 3))
    expect(savingProven(c)).toBe(false)
    expect(surenessText(c)).toContain('not proven')
  })

  it('of a dearer plan is proven by the gap of the dearer one as well', () => {
    expect(savingProven(compared(costing(80, 30), costing(100, 5)))).toBe(true)
    expect(savingProven(compared(costing(80, 3), costing(100, 30)))).toBe(false)
    expect(surenessText(compared(costing(80, 30), costing(100, 5)))).toContain('from 15.00 EUR to 50.00 EUR')
  })

  it('is not proven where a gap is not known, and says so', () => {
    const c = compared(costing(100, Number.POSITIVE_INFINITY), costing(80, 3))
    expect(c.before.gapMicro).toBe(null)
    expect(savingProven(c)).toBe(false)
    expect(surenessText(c)).toContain('an amount that is not proven')
  })

  it('between plans that do not serve the same tells both', () => {
    const c = compared(costing(100, 0, 50), costing(130, 0, 20))
    expect(differenceText(c)).toBe('serves 30.00 EUR more, weighted by due date, and costs 30.00 EUR more')
    expect(c.savesBetweenMicro).toBe(null)
  })
})
