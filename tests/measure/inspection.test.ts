import { describe, expect, it, test } from 'vitest'
import {
  acceptanceProbability,
  faultRate,
  poissonLimits,
  poissonUpper,
} from '../../src/measure/fault-rate.ts'
import {
  type CodeLetter,
  codeLetter,
  lotInspection,
  planOfLetter,
  QUALITY_LEVELS,
  type QualityLevel,
  type TableEntry,
  tableEntry,
} from '../../src/measure/sampling-plan.ts'
import { published, publishedAll } from './published.ts'

describe('sampling plans, MIL-STD-105E', () => {
  it('aql.codeletters: each row at both its ends', () => {
    const { expected } = published<unknown, [number | null, string, string, string][]>('aql.codeletters')
    let least = 2
    for (const [most, ...letters] of expected) {
      for (const lot of [least, most ?? 9_000_000])
        expect([codeLetter(lot, 'I'), codeLetter(lot, 'II'), codeLetter(lot, 'III')]).toEqual(letters)
      least = (most ?? 0) + 1
    }
    expect(codeLetter(1, 'II')).toBeNull()
    expect(codeLetter(Number.NaN, 'II')).toBeNull()
  })

  const rows = publishedAll<{ code: CodeLetter; n: number; aql: QualityLevel[] }, TableEntry[]>('aql.IIA')
  test.each(rows)('$id: acceptance numbers and arrows', ({ inputs, expected }) => {
    expect(inputs.aql.map((aql) => tableEntry(inputs.code, aql))).toEqual(expected)
    const stands = inputs.aql.find((aql) => typeof tableEntry(inputs.code, aql) === 'number')!
    expect(planOfLetter(inputs.code, stands).sample).toBe(inputs.n)
  })

  const arrows = publishedAll<{ code: CodeLetter; aql: QualityLevel }, [CodeLetter, number, number]>(
    'aql.resolve',
  )
  test.each(arrows)('$id: the sample follows the arrow', ({ inputs, expected }) => {
    const [letter, sample, accept] = expected
    expect(planOfLetter(inputs.code, inputs.aql)).toEqual({ letter, sample, accept })
  })

  it('every lot has a plan at every level, no larger than the lot', () => {
    for (const lot of [2, 3, 8, 9, 26, 90, 151, 1_201, 500_001, 9_999_999])
      for (const level of ['I', 'II', 'III'] as const)
        for (const aql of QUALITY_LEVELS) {
          const plan = lotInspection(lot, level, aql)!
          expect(plan.sample).toBeLessThanOrEqual(lot)
          expect(plan.wholeLot).toBe(plan.sample === lot)
          expect(plan.accept).toBeGreaterThanOrEqual(0)
        }
    // 20 to be drawn from 9: each one is looked at
    expect(lotInspection(9, 'II', 0.65)).toMatchObject({ sample: 9, wholeLot: true, accept: 0 })
    expect(lotInspection(1, 'II', 1)).toBeNull()
  })

  it('aql.oc.500-3: how often a lot passes', () => {
    const { inputs, expected, tolerance } = published<
      { n: number; ac: number; rate_per_100: number[] },
      number[]
    >('aql.oc.500-3')
    for (const [i, rate] of inputs.rate_per_100.entries()) {
      const passes = acceptanceProbability((inputs.n * rate) / 100, inputs.ac)
      expect(Math.abs(passes - expected[i]!)).toBeLessThanOrEqual(tolerance)
    }
  })
})

describe('fault rates', () => {
  it('poisson.zero.upper: no fault is not no rate', () => {
    const { expected, tolerance } = published<unknown, { two_sided: number; one_sided: number }>(
      'poisson.zero.upper',
    )
    expect(Math.abs(poissonLimits(0).upper - expected.two_sided)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(poissonUpper(0) - expected.one_sided)).toBeLessThanOrEqual(tolerance)
    expect(poissonLimits(0).lower).toBe(0)
  })

  it('poisson.rate.0per10km', () => {
    const { inputs, expected, tolerance } = published<{ faults: number; km: number }, number>(
      'poisson.rate.0per10km',
    )
    expect(Math.abs(poissonUpper(inputs.faults) / inputs.km - expected)).toBeLessThanOrEqual(tolerance)
  })

  it('poisson.rate.R (from memory): 137 events in 24.19893 units', () => {
    const { inputs, expected, tolerance } = published<
      { events: number; exposure: number },
      { lo: number; hi: number }
    >('poisson.rate.R')
    const rate = faultRate(inputs.events, inputs.exposure)!
    expect(Math.abs(rate.lowerPerKm - expected.lo)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(rate.upperPerKm - expected.hi)).toBeLessThanOrEqual(tolerance)
    expect(rate.cleanM).toBeCloseTo((1000 * 24.19893) / 137, 9)
  })

  it('5 faults lie between 1.6235 and 11.6683 (stat.ethz.ch r-help 2005-Sept/078856)', () => {
    expect(poissonLimits(5).lower).toBeCloseTo(1.6235, 4)
    expect(poissonLimits(5).upper).toBeCloseTo(11.6683, 4)
  })

  it('clean length where no fault was found has a lower limit only; without length nothing is known', () => {
    const rate = faultRate(0, 10)!
    expect(rate.cleanM).toBeNull()
    expect(rate.cleanAtLeastM).toBeCloseTo(10_000 / 3.688879, 2)
    expect(faultRate(0, 0)).toBeNull()
  })
})
