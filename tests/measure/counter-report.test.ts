import { beforeAll, describe, expect, it } from 'vitest'
import { cableOffsets } from '../../src/measure/cable-offset.ts'
import type { CounterCheck } from '../../src/measure/counter-check.ts'
import { counterReadings, dayOf } from '../../src/measure/counter-reading.ts'
import { type CounterQuestion, type CounterReport, counterReport } from '../../src/measure/counter-report.ts'
import { sealState } from '../../src/measure/counter-seal.ts'
import { counterTrend, trendPath } from '../../src/measure/counter-trend.ts'
import { lengthGuardRatio } from '../../src/measure/length-guard.ts'
import { overLengthCost } from '../../src/measure/over-length.ts'
import { startOffset } from '../../src/measure/start-offset.ts'
import { combinedUncertainty } from '../../src/measure/uncertainty.ts'
import { counterQuestions } from '../../src/works/length-questions.ts'
import { demoWorks } from './demo-works.ts'
import { randomSource } from './random-source.ts'

let questions: CounterQuestion[]
beforeAll(async () => {
  const { works, more } = await demoWorks()
  questions = counterQuestions(works, more)
})
const of = (line: string) => questions.find((q) => q.line === line)!

describe('the counters of the demo', () => {
  let one: CounterReport
  let two: CounterReport
  beforeAll(() => {
    one = counterReport(of('RW-1'))
    two = counterReport(of('RW-2'))
  })

  it('RW-2 has drifted to +0.24 % at +0.0016 % a day (handbook of the trade, §6)', () => {
    const { trend, signals } = two.known!
    expect(Math.abs(trend.today.errorRatio - 0.0024)).toBeLessThan(trend.factor95 * trend.today.standardRatio)
    expect(Math.abs(trend.slopePerDay! - 1.6e-5)).toBeLessThan(trend.factor95 * trend.slopeStandardPerDay!)
    expect(signals.map((s) => s.chart)).toEqual(['shewhart', 'ewma', 'cusum', 'drift'])
    expect(one.known!.signals.some((s) => s.chart === 'drift')).toBe(false)
  })

  it('the guard covers what is left after the correction: it does not grow with the error itself', () => {
    const shifted = of('RW-2').checks.map((c) =>
      c.line === 'RW-2' ? { ...c, counterM: c.counterM * 1.01 } : c,
    )
    const moved = counterReport({ ...of('RW-2'), checks: shifted })
    expect(moved.known!.trend.today.errorRatio).toBeCloseTo(
      two.known!.trend.today.errorRatio * 1.01 + 0.01,
      9,
    )
    expect(moved.known!.guardRatio.none_short / two.known!.guardRatio.none_short).toBeCloseTo(1.01, 1)
  })

  it('a correction that lags behind a drift leaves corrected pieces short, and their risk says so', () => {
    const { lagRatio, shortProbabilityInForce, budget, trend } = two.known!
    expect(lagRatio).toBe(trend.today.errorRatio - two.correction!.errorRatio)
    expect(lagRatio).toBeGreaterThan(0.0001)
    const calm = counterReport({ ...of('RW-2'), guardInForceRatio: 0.001 + lagRatio! })
    expect(calm.known!.shortProbabilityInForce).toBeLessThan(shortProbabilityInForce)
    // where guard and lag cancel, one piece in two is short
    const none = counterReport({ ...of('RW-2'), guardInForceRatio: lagRatio! })
    expect(none.known!.shortProbabilityInForce).toBeCloseTo(0.5, 12)
    expect(budget.terms.map((t) => t.name)).toContain('wear of the wheel until the next check')
  })

  it('the budget adds up, and the worst cable type has the largest guard', () => {
    for (const { known } of [one, two]) {
      const { budget, guardRatio, guardByCable, worstCable } = known!
      expect(budget.piece).toEqual(combinedUncertainty(budget.terms))
      expect(guardByCable[0]).toEqual({ cable: worstCable, noneShortRatio: guardRatio.none_short })
      expect(Math.max(...guardByCable.map((g) => g.noneShortRatio))).toBe(guardRatio.none_short)
      // shorter pieces need more: stop and steps of the counter weigh more
      const lengths = known!.guardByLength.map((g) => g.noneShortRatio)
      expect(lengths).toEqual([...lengths].sort((a, b) => b - a))
    }
  })

  it('the uncorrected RW-2 is at its limit in class II from memory and well within Canada’s, whose sides differ', () => {
    const [canada, , second] = two.known!.law
    expect(canada!.withinProbability).toBeGreaterThan(0.9999)
    expect(canada!.overLimitRatio).toBeCloseTo(2 * canada!.shortLimitRatio, 12)
    expect(second!.withinProbability).toBeGreaterThan(0.2)
    expect(second!.withinProbability).toBeLessThan(0.8)
  })

  it('pieces cut since the last good check are suspect, on their own line only', () => {
    expect(two.lookBack.reason).toContain('failed')
    expect(two.lookBack.suspect.map((s) => s.id)).toEqual([
      'K31-0413',
      'K31-0418',
      'K31-0419',
      'K31-0427',
      'K31-0431',
    ])
    const [, long250] = two.lookBack.suspect
    // 250.25 m on a counter that then read about 0.23 % long
    expect(long250!.shortUm / 1e6).toBeCloseTo(250 - 250.25 / 1.0023, 1)
    expect(counterReport({ ...of('RW-2'), cuts: null }).cutsRecorded).toBe(false)
  })

  it('the sealed counter is corrected through its preset only', () => {
    expect(one.seal).toMatchObject({ sealed: true, overdue: false, verificationDueDate: '2031-04-12' })
    expect(one.seal.correctBy).toContain('preset only')
    expect(two.seal.sealed).toBeNull()
    expect(sealState({ verifiedDate: null, verificationDueDate: '2031-01-01' }, '2031-01-02')).toMatchObject({
      overdue: true,
    })
    expect(sealState({ verifiedDate: null, verificationDueDate: null }, '2031-01-02').overdue).toBeNull()
  })
})

describe('guards by rule', () => {
  const budget = {
    pieceM: 100,
    terms: [],
    piece: { standard: 0.002, freedom: Infinity },
    common: { standard: 0.001, freedom: Infinity },
  }

  it('none short: z = 2; a batch mean: what all pieces have alike; the law: what it leaves over', () => {
    expect(lengthGuardRatio({ kind: 'none short' }, budget)).toBeCloseTo(0.004, 6)
    expect(lengthGuardRatio({ kind: 'batch mean' }, budget)).toBeCloseTo(0.002, 6)
    // ½ in + ½ % of 100 m: 0.5127 m, above 0.4 m
    expect(lengthGuardRatio({ kind: 'statutory', rule: 'ca219' }, budget)).toBe(0)
    // class I: 0.125 % of it
    expect(lengthGuardRatio({ kind: 'statutory', rule: 'mid009-I' }, budget)).toBeCloseTo(0.004 - 0.00125, 6)
  })

  it('a batch whose single pieces scatter by more than 2 % needs its guard for them', () => {
    const wild = { ...budget, piece: { standard: 0.015, freedom: Infinity } }
    expect(lengthGuardRatio({ kind: 'batch mean' }, wild)).toBeCloseTo(0.03 - 0.02, 5)
  })

  it('few checks make it larger: Student’s t', () => {
    const few = { ...budget, piece: { standard: 0.002, freedom: 3 } }
    expect(lengthGuardRatio({ kind: 'none short' }, few)).toBeGreaterThan(1.5 * 0.004)
  })

  it('over-length costs guard × metres × material, and half the guard half of it', () => {
    const cost = overLengthCost(0.002, 0.001, [
      { metresPerYear: 100_000, eurPerM: 0.5 },
      { metresPerYear: 50_000, eurPerM: 2 },
    ])
    expect(cost).toMatchObject({ metresPerYear: 150_000, eurPerYear: 300, savedByHalvingEurPerYear: 150 })
    expect(overLengthCost(-0.001, 0, []).eurPerYear).toBe(0)
  })
})

describe('calibration by cable type and the start of the counter', () => {
  /** Checks with an error by cable, an offset in metres and noise. */
  function simulated(errorOf: Record<string, number>, offsetM: number, noiseRatio: number): CounterCheck[] {
    const { normal, uniform } = randomSource(11)
    return Array.from({ length: 120 }, (_, i) => {
      const cables = Object.keys(errorOf)
      const cable = cables[i % cables.length]!
      const tapeM = uniform() < 0.5 ? 20 : 50
      const date = new Date(Date.UTC(2031, 0, 1 + Math.floor(i / 3))).toISOString().slice(0, 10)
      const counterM = tapeM * (1 + errorOf[cable]! + noiseRatio * normal()) + offsetM
      return { date, line: 'A', cable, counterM, tapeM, tempC: 20, tensionN: 8, speedMMin: 60, person: 'P' }
    })
  }
  const judged = (checks: CounterCheck[]) => {
    const { readings } = counterReadings('A', checks)
    const fit = counterTrend(readings, dayOf('2031-02-10'))!
    const path = trendPath(fit).inHindsight
    return { offsets: cableOffsets(readings, fit.trend, path), start: startOffset(readings, path)! }
  }

  it('types that differ only by chance are not corrected apart', () => {
    const { offsets, start } = judged(simulated({ X: 1e-3, Y: 1e-3, Z: 1e-3 }, 0, 3e-4))
    expect(offsets.betweenRatio).toBeLessThan(1e-4)
    for (const c of offsets.cables) expect(Math.abs(c.offsetRatio)).toBeLessThan(1e-4)
    expect(start.stands).toBe(false)
  })

  it('a type that errs by 0.2 % more is found, drawn in a little', () => {
    const { offsets } = judged(simulated({ X: 0, Y: 0, Z: 2e-3 }, 0, 3e-4))
    const z = offsets.cables.find((c) => c.cable === 'Z')!
    // two thirds of the difference lie above the common error
    expect(z.offsetRatio).toBeGreaterThan(1.2e-3)
    expect(z.offsetRatio).toBeLessThan(1.45e-3)
  })

  it('a counter that starts 40 mm late is found beside its ratio', () => {
    const { start } = judged(simulated({ X: 1e-3 }, 0.04, 3e-4))
    expect(start.stands).toBe(true)
    expect(Math.abs(start.offsetM - 0.04)).toBeLessThan(3 * start.standardM)
  })
})

describe('too little to go by', () => {
  const few = (count: number) => {
    const own = of('RW-1').checks.filter((c) => c.line === 'RW-1')
    return counterReport({ ...of('RW-1'), checks: own.slice(0, count) })
  }

  it('no check, one check and two checks leave the error unknown, and say what to do', () => {
    for (const count of [0, 1, 2]) {
      const report = few(count)
      expect(report.known).toBeNull()
      expect(report.unknown).toContain('three times')
    }
    expect(few(3).known).not.toBeNull()
  })

  it('a baseline of twenty checks is needed before a chart signals', () => {
    expect(few(20).known!.charts).toBeNull()
    expect(few(21).known!.charts).not.toBeNull()
    expect(few(20).known!.signals.every((s) => s.chart === 'drift')).toBe(true)
  })

  it('a line that takes no cable type says so', () => {
    expect(counterReport({ ...of('RW-1'), cables: [] }).unknown).toContain('od_min_mm')
  })
})
