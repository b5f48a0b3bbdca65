import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { cutAllowance } from '../../src/lead/cut-allowance.ts'
import { cutFigures } from '../../src/lead/cut-figures.ts'
import type { CutRecord } from '../../src/lead/cut-record.ts'
import { classTolerance, toleranceOf } from '../../src/lead/cut-tolerance.ts'
import { connectorOf, works } from '../lead/demo-works.ts'
import { randomFrom } from '../lead/random.ts'
import values from './bench-values.json' with { type: 'json' }

const [a, b] = [connectorOf('BNC-C-049'), connectorOf('N-C-049')]
const SHEET_MM = a.tipToCableEndMm + b.tipToCableEndMm

/** Finished leads whose connectors add so much, one a day. */
const leads = (addedMm: number[]): CutRecord[] =>
  addedMm.map((mm, i) => ({
    ...{ serial: `L${i}`, cable: 'C049-50', connA: a.part, connB: b.part },
    finishedDate: new Date(Date.UTC(2031, 0, 1 + i)).toISOString().slice(0, 10),
    ...{ cutUm: 1_000_000, lengthUm: 1_000_000 + Math.round(mm * 1_000) },
  }))

const bell = (random: () => number) => Array.from({ length: 12 }, random).reduce((sum, x) => sum + x, -6)

describe('what connectors add', () => {
  test('without a finished lead it is what the sheets say', () => {
    const found = cutAllowance([], 'C049-50', a, b)
    expect(found).toMatchObject({ allowanceMm: SHEET_MM, measuredMm: null, measured: 0, drift: null })
  })

  test('lies between sheet and leads, nearer to the leads the more there are', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -3, max: 3, noNaN: true }),
        fc.integer({ min: 1, max: 40 }),
        (off, count) => {
          const of = (n: number) => cutAllowance(leads(Array(n).fill(SHEET_MM + off)), 'C049-50', a, b)
          const [few, more] = [of(count), of(count + 1)]
          const share = (found: typeof few) =>
            (found.allowanceMm - SHEET_MM) / (found.measuredMm! - SHEET_MM || 1)
          expect(share(few)).toBeGreaterThanOrEqual(-1e-9)
          expect(share(few)).toBeLessThanOrEqual(1 + 1e-9)
          expect(share(more)).toBeGreaterThanOrEqual(share(few) - 1e-9)
          expect(more.standardUncertaintyMm).toBeLessThan(few.standardUncertaintyMm)
        },
      ),
      { seed: 3 },
    )
  })

  test('one lead counts as the two variances say: half and half where they are equal', () => {
    // sheet and single leads are both assumed to ±0.35 mm, so the posterior mean is the middle (normal law with a normal prior)
    const { allowanceMm, standardUncertaintyMm } = cutAllowance(leads([SHEET_MM + 1]), 'C049-50', a, b)
    expect(allowanceMm).toBeCloseTo(SHEET_MM + 0.5, 9)
    expect(standardUncertaintyMm).toBeCloseTo(0.35 / Math.SQRT2, 9)
  })

  test('comes nearer to the truth than the mean of the leads alone, over works whose sheets are as good as assumed', () => {
    const random = randomFrom(11)
    let [ours, means] = [0, 0]
    for (let works = 0; works < 2_000; works++) {
      const truth = SHEET_MM + 0.35 * bell(random)
      const added = Array.from({ length: 3 }, () => truth + 0.35 * bell(random))
      const found = cutAllowance(leads(added), 'C049-50', a, b)
      ours += (found.allowanceMm - truth) ** 2
      means += (found.measuredMm! - truth) ** 2
    }
    expect(ours).toBeLessThan(0.9 * means)
  })

  test('leads of other connectors and cables do not count; swapped ends do', () => {
    const swapped = leads([SHEET_MM + 1]).map((lead) => ({ ...lead, connA: b.part, connB: a.part }))
    expect(cutAllowance(swapped, 'C049-50', a, b).measured).toBe(1)
    const other = leads([SHEET_MM + 1]).map((lead) => ({ ...lead, connB: a.part }))
    expect(cutAllowance(other, 'C049-50', a, b).measured).toBe(0)
  })

  test('a drift is found, and chance is called one no more often than said', () => {
    const rising = leads(Array.from({ length: 20 }, (_, i) => SHEET_MM + 0.02 * i))
    const { drift } = cutAllowance(rising, 'C049-50', a, b)
    expect(drift?.proven).toBe(true)
    expect(drift?.mmPer30Days).toBeCloseTo(0.6, 6)
    const random = randomFrom(12)
    let proven = 0
    for (let i = 0; i < 1_000; i++) {
      const still = leads(Array.from({ length: 12 }, () => SHEET_MM + 0.3 * bell(random)))
      if (cutAllowance(still, 'C049-50', a, b).drift?.proven) proven++
    }
    // 1 %: 10 in 1 000, three standard deviations above it 19
    expect(proven).toBeLessThanOrEqual(19)
    expect(proven).toBeGreaterThan(0)
  })
})

describe('tolerance by length class', () => {
  test.each(values.lengthTolerance)('$lengthMm mm ($source)', ({ lengthMm, plusMm, minusMm }) => {
    expect(classTolerance(lengthMm)).toMatchObject({ plusMm, minusMm })
  })

  test('the order goes before the class', () => {
    const line = { ...works.orders.find((o) => o.order === '7124')!, tolPlusMm: null }
    expect(toleranceOf(line)).toMatchObject({ minusMm: 0, plusMm: 50 })
    expect(toleranceOf({ ...line, tolPlusMm: 3 })).toMatchObject({ minusMm: 0, plusMm: 3, source: 'order' })
  })
})

describe('cut length', () => {
  const order = works.orders.find((o) => o.order === '7124')!

  test('by definition, with the sheet values (works folder contract, rule R4 of plans)', () => {
    const of = (lengthDefinition: 'jacket' | 'tip_to_tip' | 'ref_to_ref') =>
      cutFigures({ ...order, lengthDefinition }, a, b, []).cutLengthMm
    expect(of('tip_to_tip')).toBeCloseTo(1_000 - 8.2 - 9.5, 3)
    expect(of('ref_to_ref')).toBeCloseTo(1_000 - (8.2 - 5.3) - (9.5 - 9.1), 3)
    expect(of('jacket')).toBe(1_000)
  })

  test('what the leads add more than the sheets is cut off less', () => {
    const many = leads(Array(40).fill(SHEET_MM + 2))
    const { cutLengthMm, sheetCutMm, allowance } = cutFigures(order, a, b, many)
    expect(cutLengthMm + allowance.allowanceMm).toBeCloseTo(1_000, 6)
    expect(sheetCutMm - cutLengthMm).toBeGreaterThan(1.8)
  })

  test('the stop is longer where nothing may be short, and never beyond the middle of the tolerance', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 4 }),
        fc.integer({ min: 0, max: 20 }),
        (tolMinusMm, tolPlusMm) => {
          const { cutLengthMm, stopMm } = cutFigures({ ...order, tolMinusMm, tolPlusMm }, a, b, [])
          expect(stopMm).toBeGreaterThanOrEqual(cutLengthMm)
          expect(stopMm - cutLengthMm).toBeLessThanOrEqual(Math.max(0, (tolPlusMm - tolMinusMm) / 2) + 1e-9)
        },
      ),
      { seed: 4 },
    )
    const { cutLengthMm, stopMm, says } = cutFigures(order, a, b, [])
    expect(stopMm - cutLengthMm).toBeCloseTo(2 * 0.35 * Math.SQRT2, 6)
    expect(says).toContain('none may be short')
  })

  test('leads of a set are cut long to be trimmed, within their tolerance', () => {
    const set = works.orders.find((o) => o.order === '7119')!
    const n = connectorOf('N-C-059')
    const { cutLengthMm, stopMm, says } = cutFigures(set, n, n, [])
    expect(stopMm - cutLengthMm).toBeGreaterThan(3)
    expect(stopMm - cutLengthMm).toBeLessThan(set.tolPlusMm!)
    expect(says).toContain('trimmed to one delay')
  })
})
