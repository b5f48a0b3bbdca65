import { describe, expect, it } from 'vitest'
import type { CounterReading } from '../../src/measure/counter-reading.ts'
import { counterTrend, trendPath } from '../../src/measure/counter-trend.ts'
import { filterTrend, smoothTrend, type TrendPoint } from '../../src/measure/local-linear-filter.ts'
import { straightLine } from '../../src/measure/straight-line.ts'
import { LEVEL_PER_WEEK, SLIP_SHARES, SLOPE_PER_QUARTER } from '../../src/measure/variance-grid.ts'
import { randomSource } from './random-source.ts'

const SEEDS = 2_000
/** Three standard deviations of a share of 95 % in 2 000: √(0.95·0.05/2000) = 0.49 %. */
const TOLERANCE = 3 * Math.sqrt((0.95 * 0.05) / SEEDS)
const NOISE = 5e-4
const WEEKS = 26
/** Steps of the simulation a day. */
const STEPS = 4
const TODAY = 7 * (WEEKS - 1)

interface Injected {
  /** Error at each week. */
  level: number[]
  /** Drift per day on the last day. */
  slope: number
  slipShare: number
}

interface Random {
  uniform: () => number
  normal: () => number
}

/** Three checks a week over half a year on a 20 or a 50 m tape, as the demo has them. */
function readingsOf({ level, slipShare }: Injected, { uniform, normal }: Random): CounterReading[] {
  return level.flatMap((errorRatio, week) =>
    Array.from({ length: 3 }, () => {
      const tapeM = uniform() < 0.35 ? 50 : 20
      const spread = NOISE * Math.sqrt(slipShare + (1 - slipShare) * (20 / tapeM) ** 2)
      return { date: '', day: 7 * week, cable: 'C', tapeM, errorRatio: errorRatio + spread * normal() }
    }),
  )
}

const steadyDrift = (): Injected => ({
  level: Array.from({ length: WEEKS }, (_, week) => -3e-4 + 1.6e-5 * 7 * week),
  slope: 1.6e-5,
  slipShare: 0.5,
})

const from = <T>(list: readonly T[], { uniform }: Random): T => list[Math.floor(uniform() * list.length)]!

/** A counter whose level and slope wander as much as the filter holds possible, each amount as often as another; stepped by quarter days. */
function wanderingDrift(random: Random): Injected {
  const levelSd = (from(LEVEL_PER_WEEK, random) * NOISE) / Math.sqrt(7 * STEPS)
  const slopeSd = (from(SLOPE_PER_QUARTER, random) * NOISE) / Math.sqrt(90 * STEPS)
  let error = 0
  let slope = 1e-5 * random.normal()
  const level = [error]
  for (let week = 1; week < WEEKS; week++) {
    for (let step = 0; step < 7 * STEPS; step++) {
      error += slope / STEPS + levelSd * random.normal()
      slope += slopeSd * random.normal()
    }
    level.push(error)
  }
  return { level, slope, slipShare: from(SLIP_SHARES, random) }
}

function coverage(injected: (random: Random) => Injected): { level: number; slope: number } {
  let level = 0
  let slope = 0
  for (let seed = 1; seed <= SEEDS; seed++) {
    const random = randomSource(seed)
    const truth = injected(random)
    const { trend } = counterTrend(readingsOf(truth, random), TODAY)!
    const { errorRatio, standardRatio } = trend.today
    if (Math.abs(errorRatio - truth.level[WEEKS - 1]!) <= trend.factor95 * standardRatio) level++
    if (Math.abs(trend.slopePerDay! - truth.slope) <= trend.factor95 * trend.slopeStandardPerDay!) slope++
  }
  return { level: level / SEEDS, slope: slope / SEEDS }
}

describe('the 95 % band of a drifting counter, 2 000 simulated counters', () => {
  it('holds the true error and drift in 95 % of them where all that the filter holds possible occurs', () => {
    const held = coverage(wanderingDrift)
    expect(Math.abs(held.level - 0.95)).toBeLessThanOrEqual(TOLERANCE)
    expect(Math.abs(held.slope - 0.95)).toBeLessThanOrEqual(TOLERANCE)
  })

  it('holds a steady drift of 0.0016 % a day in no fewer', () => {
    const held = coverage(steadyDrift)
    expect(held.level).toBeGreaterThanOrEqual(0.95 - TOLERANCE)
    expect(held.slope).toBeGreaterThanOrEqual(0.95 - TOLERANCE)
  })
})

describe('the filter without wander', () => {
  const days = [0, 0, 3, 7, 7, 15, 40, 41]
  const y = [3, 4.5, 2, 6, 5, 9, 14, 15.5]
  const points: TrendPoint[] = days.map((tDay, i) => ({ tDay, y: y[i]!, noise: 1 }))
  const line = straightLine(days, y)!
  const filtered = filterTrend(points, { levelPerDay: 0, slopePerDay: 0 })

  it('ends on the least-squares line, with its uncertainty', () => {
    const end = filtered.known.at(-1)!
    expect(end.level).toBeCloseTo(line.intercept + 41 * line.slope, 5)
    expect(end.slope).toBeCloseTo(line.slope, 6)
    // in units of the noise variance
    expect(Math.sqrt(end.varSlope)).toBeCloseTo(line.slopeSd / line.sd, 6)
    expect(filtered.squares).toBeCloseTo(line.sd ** 2 * line.freedom, 4)
  })

  it('smooths to the same line at every point', () => {
    for (const [i, state] of smoothTrend(points, filtered).entries()) {
      expect(state.level).toBeCloseTo(line.intercept + days[i]! * line.slope, 4)
      expect(state.slope).toBeCloseTo(line.slope, 5)
    }
  })
})

describe('few, odd and identical readings', () => {
  const reading = (day: number, errorRatio: number, tapeM = 20): CounterReading => ({
    date: '',
    day,
    cable: 'C',
    errorRatio,
    tapeM,
  })

  it('one or two checks say nothing', () => {
    expect(counterTrend([], 0)).toBeNull()
    expect(counterTrend([reading(0, 1e-3)], 5)).toBeNull()
    expect(counterTrend([reading(0, 1e-3), reading(3, 2e-3)], 5)).toBeNull()
  })

  it('checks after the day that is asked about do not count', () => {
    const checks = [0, 1, 2, 3].map((d) => reading(d, 1e-3))
    expect(counterTrend(checks, 1)).toBeNull()
    expect(counterTrend(checks, 2)!.trend.checks).toBe(3)
  })

  it('all on one day have a mean, and no drift is made up', () => {
    const { trend } = counterTrend(
      [1e-3, 2e-3, 3e-3].map((e) => reading(7, e)),
      7,
    )!
    expect(trend.today.errorRatio).toBeCloseTo(2e-3, 9)
    // standard error of three readings 1e-3 apart
    expect(trend.today.standardRatio).toBeCloseTo(1e-3 / Math.sqrt(3), 7)
    expect(trend.slopePerDay).toBeNull()
    expect(trend.freedom).toBe(2)
  })

  it('identical readings are not believed to be without error: half a millimetre on the tape stays', () => {
    const { trend } = counterTrend(
      Array.from({ length: 12 }, (_, i) => reading(7 * i, 1e-3)),
      77,
    )!
    expect(trend.today.errorRatio).toBeCloseTo(1e-3, 8)
    expect(trend.noiseRatio).toBeCloseTo(0.001 / Math.sqrt(12) / 20, 8)
    expect(trend.today.standardRatio).toBeGreaterThan(0)
    expect(Number.isFinite(trend.slopeStandardPerDay!)).toBe(true)
  })

  it('the band grows while no check is made', () => {
    const readings = readingsOf(steadyDrift(), randomSource(5))
    const soon = counterTrend(readings, TODAY)!.trend.today.standardRatio
    const late = counterTrend(readings, TODAY + 60)!.trend.today.standardRatio
    expect(late).toBeGreaterThan(1.5 * soon)
  })

  it('hindsight is surer than the day itself, and ends with it', () => {
    const fit = counterTrend(readingsOf(steadyDrift(), randomSource(9)), TODAY)!
    const { onTheDay, inHindsight } = trendPath(fit)
    expect(inHindsight).toHaveLength(WEEKS)
    expect(inHindsight[3]!.standardRatio).toBeLessThan(onTheDay[3]!.standardRatio)
    expect(inHindsight.at(-1)!.errorRatio).toBeCloseTo(fit.trend.today.errorRatio, 12)
  })
})
