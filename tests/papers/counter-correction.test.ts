import { describe, expect, test } from 'vitest'
import { guardWarning } from '../../src/dispatch/guard-warning.ts'
import { planWarnings } from '../../src/dispatch/plan-warnings.ts'
import { correctionText } from '../../src/dispatch/run-warnings.ts'
import { counterPresetUm, presetStepUm } from '../../src/line/counter-preset.ts'
import { guardShortfallRatio } from '../../src/line/guard-shortfall.ts'
import type { CounterCheck } from '../../src/measure/counter-check.ts'
import { type CounterCorrection, counterCorrection } from '../../src/measure/counter-correction.ts'
import { sampleStats } from '../../src/measure/sample-stats.ts'
import { umFromM } from '../../src/quantity/length.ts'
import checkValues from '../data/check-values-papers.json' with { type: 'json' }
import { demoInput } from './demo-input.ts'
import { greedyPlan } from './greedy-plan.ts'

const published = (id: string) => {
  const value = checkValues.find((v) => v.id === id)!
  return { ...(value.expected as { mean: number; sd: number }), tolerance: value.tolerance }
}

describe('mean and standard deviation, NIST StRD univariate data sets', () => {
  const pairs = (first: number, low: number, high: number) => [
    first,
    ...Array.from({ length: 500 }, () => [low, high]).flat(),
  ]
  // certified values: itl.nist.gov StRD; the data sets are described in check-values-papers.json
  test.each([
    ['stat.nist.numacc1', [10_000_001, 10_000_003, 10_000_002]],
    ['stat.nist.numacc2', pairs(1.2, 1.1, 1.3)],
    ['stat.nist.numacc4', pairs(10_000_000.2, 10_000_000.1, 10_000_000.3)],
  ])('%s', (id, readings) => {
    const { mean, sd, tolerance } = published(id)
    const stats = sampleStats(readings)
    expect(Math.abs(stats.mean - mean)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(stats.sd! - sd)).toBeLessThanOrEqual(tolerance)
    expect(stats.standardError).toBe(stats.sd! / Math.sqrt(readings.length))
  })

  test('fewer than two readings have no spread', () => {
    expect(sampleStats([5])).toEqual({ count: 1, mean: 5, sd: null, standardError: null })
  })
})

const check = (date: string, counterM: number, line = 'A'): CounterCheck => ({
  ...{ date, line, cable: 'C', counterM, tapeM: 20, tempC: 20, tensionN: 8, speedMMin: 60, person: 'P' },
})

describe('counter correction', () => {
  test('rests on the last ten checks of the line by date, whatever their order in the file', () => {
    const old = check('2030-01-01', 25)
    const last = Array.from({ length: 10 }, (_, i) => check(`2031-01-${10 + i}`, i % 2 ? 20.04 : 20.06))
    const correction = counterCorrection('A', [...last.reverse(), old, check('2031-02-01', 30, 'B')])!
    expect(correction.checks).toBe(10)
    expect(correction.errorRatio).toBeCloseTo(0.0025, 12)
    // ten readings 0.0005 either side of their mean: sd = 0.0005·√(10/9)
    expect(correction.sdRatio).toBeCloseTo(0.0005 * Math.sqrt(10 / 9), 12)
    expect(correction).toMatchObject({ from: '2031-01-10', to: '2031-01-19' })
  })

  test('with fewer than two checks nothing is known, and the sheet says so', () => {
    expect(counterCorrection('A', [check('2031-01-01', 20.1)])).toBeNull()
    expect(correctionText('A', null)).toMatch(/not known.*not corrected/)
  })

  test('a counter that reads long gets a longer preset, rounded up to its step', () => {
    const line = { counter: { kind: '', wheelCircMm: 500, pulsesPerTurn: 1000, claimedErrorRatio: 0 } }
    const correction = { errorRatio: 0.0025 } as CounterCorrection
    expect(presetStepUm(line)).toBe(1000)
    expect(counterPresetUm(umFromM(100), line, correction)).toBe(umFromM(100.25))
    expect(counterPresetUm(umFromM(100.0001), line, correction)).toBe(umFromM(100.251))
    expect(counterPresetUm(umFromM(100), line, null)).toBe(umFromM(100))
    const coarse = { counter: { ...line.counter, pulsesPerTurn: 20 } }
    expect(counterPresetUm(umFromM(100.001), coarse, null)).toBe(umFromM(100.025))
  })
})

describe('length guard against the counter', () => {
  test('short of two standard errors by their difference', () => {
    const correction = { standardErrorRatio: 0.001 } as CounterCorrection
    expect(guardShortfallRatio(0.0005, correction)).toBeCloseTo(0.0015, 15)
    expect(guardShortfallRatio(0.003, correction)).toBe(0)
    expect(guardShortfallRatio(0.0005, null)).toBeNull()
  })

  test('is said in metres and in the material value of the cables of that line', async () => {
    const input = await demoInput()
    const piece = { use: 'piece' as const, order: '7104', orderLine: 1, part: 1, count: 1 }
    const hundred = { ...piece, fromUm: 0, toUm: umFromM(100.4), declaredUm: umFromM(100), putup: 'PD-500' }
    const plan = {
      ...greedyPlan(input),
      mountings: [
        {
          drum: 'D012',
          line: 'RW-2',
          intervals: [
            { ...hundred, piece: 1 },
            { ...hundred, piece: 2 },
          ],
        },
        { drum: 'D013', line: 'RW-1', intervals: [{ ...hundred, piece: 3 }] },
      ],
    }
    const correction = { line: 'RW-2', standardErrorRatio: 0.001 } as CounterCorrection
    const warning = guardWarning('RW-2', input, plan, correction)!
    // the works' guard is 0.1 %; two standard errors are 0.2 %: 0.1 % of 200 m of C081-50 at 0.644 EUR/m
    expect(warning).toMatchObject({ deliveredUm: umFromM(200), shortUm: 200_000, shortMicro: 128_800 })
    expect(guardWarning('RW-2', input, plan, { ...correction, standardErrorRatio: 0.0001 })).toBeNull()
    // the demo's own checks bear its guard out; with checks that scatter by half a per cent the plan says so
    expect(planWarnings(input, plan)).toEqual([])
    const scattered = input.counterChecks.map((c, i) => ({
      ...c,
      counterM: c.tapeM * (1 + (i % 2 ? 0.005 : -0.005)),
    }))
    expect(planWarnings({ ...input, counterChecks: scattered }, plan).join(' ')).toMatch(
      /RW-2.*could be missing/,
    )
  })
})
