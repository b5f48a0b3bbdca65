import { describe, expect, it, test } from 'vitest'
import {
  instrumentLimit,
  type StatutoryRule,
  type TapeClass,
  tapeLimitUm,
  usTapeLimitUm,
} from '../../src/measure/instrument-limit.ts'
import {
  averageTest,
  averageTestFactor,
  prepackPlan,
  prepackVerdict,
  UNIT_SHORT_RATIO,
} from '../../src/measure/prepack-rule.ts'
import { umFromM } from '../../src/quantity/length.ts'
import { published, publishedAll } from './published.ts'

const INCH = 25_400

describe('limits of instruments', () => {
  const canada = publishedAll<{ test_length_in: number }, { under: number; over: number }>('len.ca219')
  test.each(canada)('$id: the two sides differ', ({ inputs, expected, tolerance }) => {
    const limit = instrumentLimit('ca219', inputs.test_length_in * INCH, 0)
    // registering too little gives away, registering too much shorts the customer
    expect(Math.abs(limit.overUm / INCH - expected.under)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(limit.shortUm / INCH - expected.over)).toBeLessThanOrEqual(tolerance)
  })

  const directive = publishedAll<{ class: string; length_m: number; Lm_m: number }, { mpe_m: number }>(
    'len.mid009',
  )
  test.each(directive)('$id (from memory)', ({ inputs, expected, tolerance }) => {
    const rule = `mid009-${inputs.class}` as StatutoryRule
    const limit = instrumentLimit(rule, umFromM(inputs.length_m), umFromM(inputs.Lm_m))
    expect(Math.abs(limit.shortUm / 1e6 - expected.mpe_m)).toBeLessThanOrEqual(tolerance)
    expect(limit.overUm).toBe(limit.shortUm)
  })

  const tapes = publishedAll<{ class: TapeClass; length_m: number }, { mpe_mm: number; mpe_end_mm: number }>(
    'len.mpe',
  )
  test.each(tapes)('$id', ({ inputs, expected, tolerance }) => {
    const lengthUm = umFromM(inputs.length_m)
    expect(Math.abs(tapeLimitUm(inputs.class, lengthUm) / 1000 - expected.mpe_mm)).toBeLessThanOrEqual(
      tolerance,
    )
    expect(
      Math.abs(tapeLimitUm(inputs.class, lengthUm, true) / 1000 - expected.mpe_end_mm),
    ).toBeLessThanOrEqual(tolerance)
  })

  const bands = publishedAll<{ length_ft: number }, number>('len.hb44')
  test.each(bands)('$id', ({ inputs, expected }) => {
    expect(usTapeLimitUm(inputs.length_ft * 12 * INCH)! / INCH).toBe(expected)
  })

  it('a tape beyond the table has no known limit', () => {
    expect(usTapeLimitUm(101 * 12 * INCH)).toBeNull()
  })
})

describe('prepacked lots', () => {
  it('len.fpackv.sampling: sample and factor by lot', () => {
    const { inputs, expected } = published<{ lots: number[] }, { n: number[]; a: number[] }>(
      'len.fpackv.sampling',
    )
    const plans = inputs.lots.map((lot) => prepackPlan(lot)!)
    expect(plans.map((p) => p.sample)).toEqual(expected.n)
    expect(plans.map((p) => p.factor)).toEqual(expected.a)
    expect(prepackPlan(25)).toBeNull()
  })

  it('len.fpackv.28: one package may be 2 % short', () => {
    const { inputs, expected } = published<{ nominal_m: number }, number>('len.fpackv.28')
    expect(inputs.nominal_m * UNIT_SHORT_RATIO).toBe(expected)
  })

  it('a lot is refused for its mean, and for one package alone', () => {
    const nominal = umFromM(50)
    const verdict = (m: number[]) => prepackVerdict(nominal, 40, m.map(umFromM))
    expect(verdict([50, 50.01, 50])?.accepted).toBe(true)
    expect(verdict([49.9, 49.9, 49.91])?.accepted).toBe(false)
    // the mean is high enough, one is short by more than 1 m
    expect(verdict([52, 52, 48.99])).toMatchObject({ accepted: false, tooShort: 1 })
    expect(verdict([50, 50])).toBeNull()
  })

  const factors = publishedAll<{ n: number }, number>('len.pack.k')
  test.each(factors)('$id', ({ inputs, expected, tolerance }) => {
    expect(Math.abs(averageTestFactor(inputs.n) - expected)).toBeLessThanOrEqual(tolerance)
  })

  it('len.pack.decision', () => {
    const { inputs, expected, tolerance } = published<
      Record<string, number>,
      { threshold: number; accept: boolean }
    >('len.pack.decision')
    const found = averageTest(inputs.nominal!, inputs.mean!, inputs.s!, inputs.k!)
    expect(Math.abs(found.threshold - expected.threshold)).toBeLessThanOrEqual(tolerance)
    expect(found.accepted).toBe(expected.accept)
  })
})
