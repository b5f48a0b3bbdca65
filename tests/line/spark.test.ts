import { describe, expect, it } from 'vitest'
import { frequencyHz } from '../../src/line/gather-inputs.ts'
import { type SparkCheck, sparkWatch } from '../../src/line/spark-check.ts'
import { sparkTested, untestedStretches } from '../../src/line/spark-cover.ts'
import {
  dwellCycles,
  dwellSpeedMPerS,
  publishedMinKv,
  resolvingDistanceM,
  storedEnergyJ,
} from '../../src/line/spark-test.ts'
import type { Interval } from '../../src/strip/cut-plan.ts'
import { lineValue } from './line-value.ts'

const MM_PER_IN = 25.4

describe('voltage', () => {
  // MIL-DTL-22931D table VII
  it.each(['spark.mil22931.35mil', 'spark.mil22931.60mil'])('%s', (id) => {
    const { inputs, expected } = lineValue<{ jacket_in: number }, number>(id)
    expect(publishedMinKv(inputs.jacket_in * MM_PER_IN)?.kv).toBe(expected)
  })

  it('is not known between the two tables, and does not fall as the wall grows', () => {
    // summary of IEC 62230: up to 0.25 mm 3 kV AC, up to 0.50 mm 5 kV; the military sheet begins at 0.89 mm
    expect(publishedMinKv(0.25)?.kv).toBe(3)
    expect(publishedMinKv(0.26)?.kv).toBe(5)
    expect(publishedMinKv(0.5)?.kv).toBe(5)
    expect(publishedMinKv(0.7)).toBeNull()
    // 0.065 in: 10 kV, as the trade handbook and the sheet have it
    expect(publishedMinKv(1.65)?.kv).toBe(10)
    let before = 0
    for (let wall = 0.01; wall < 3; wall += 0.01) {
      const kv = publishedMinKv(wall)?.kv
      if (kv === undefined) continue
      expect(kv).toBeGreaterThanOrEqual(before)
      before = kv
    }
  })
})

describe('dwell', () => {
  // UL 1581/2556 rule of 18 crests, from memory
  it.each(['spark.maxspeed.50hz.6in', 'spark.maxspeed.3000hz.2in', 'spark.maxspeed.60hz.24in'])(
    '%s',
    (id) => {
      const { inputs, expected, tolerance } = lineValue<
        { f_hz: number; electrode_in: number; cycles: number },
        number
      >(id)
      const ftPerMin =
        (dwellSpeedMPerS(inputs.f_hz, inputs.electrode_in * MM_PER_IN, inputs.cycles) * 60) / 0.3048
      expect(Math.abs(ftPerMin - expected)).toBeLessThanOrEqual(tolerance)
    },
  )

  // trade handbook: 0.5 m at 5 m/s, 50 Hz → 5 cycles
  it('is 5 cycles in half a metre at 5 m/s', () => {
    expect(dwellCycles(50, 500, 5)).toBe(5)
  })

  it('is not known where the tester names no frequency', () => {
    expect(frequencyHz('AC 50 Hz bead chain')).toBe(50)
    expect(frequencyHz('HF 3 kHz brush')).toBe(3000)
    expect(frequencyHz('DC bead chain')).toBeNull()
  })
})

describe('two faults, and the charge', () => {
  // EuroWire Sept 2007: 24 in at any speed
  it('tells faults apart no nearer than the published spacing, nor than the electrode is long', () => {
    expect(resolvingDistanceM(500)).toBeCloseTo(24 * 0.0254, 9)
    expect(resolvingDistanceM(750)).toBe(0.75)
  })

  // trade handbook: upper bound about 1 J for 1 km at 5 kV; 80 pF/m
  it('holds about 1 J in 1 km at 5 kV', () => {
    expect(storedEnergyJ(80, 1000, 5)).toBeCloseTo(1, 9)
  })
})

const M = 1e6
const end = (from: number, to: number): Interval => ({ use: 'end', fromUm: from * M, toUm: to * M })
const piece = (from: number, to: number): Interval => ({
  use: 'piece',
  fromUm: from * M,
  toUm: to * M,
  order: '1',
  orderLine: 1,
  piece: 1,
  part: 1,
  count: 1,
  declaredUm: (to - from) * M,
  putup: 'C-220',
})
const stays = (from: number, to: number): Interval => ({
  use: 'remnant',
  fromUm: from * M,
  toUm: to * M,
  putup: null,
})

describe('what the electrode does not see', () => {
  const run = (intervals: Interval[]) => ({ intervals, toCutterUm: 3.2 * M, fromDrumUm: 6.8 * M })

  it('is threaded past it at the start; an end loss longer than that covers it', () => {
    const [only, ...more] = untestedStretches(run([end(0, 5), piece(5, 105), stays(105, 500)]), null)
    expect(more).toEqual([])
    expect(only).toMatchObject({ fromUm: 0, toUm: 3.2 * M, at: 'start', holds: [] })
  })

  it('holds the first piece of a remnant, whose end loss is short', () => {
    const [only] = untestedStretches(run([end(0, 0.5), piece(0.5, 20.5), stays(20.5, 60)]), null)
    expect(only).toMatchObject({ toUm: 3.2 * M, holds: [2] })
    expect(only!.cover).toContain('leader')
  })

  it('is what hangs in the line when the drum runs out', () => {
    const found = untestedStretches(run([end(0, 5), piece(5, 99.5), end(99.5, 100)]), null)
    expect(found.map((u) => [u.at, u.fromUm / M, u.toUm / M, u.holds])).toEqual([
      ['start', 0, 3.2, []],
      ['end', 93.2, 100, [2]],
    ])
  })

  it('is covered by a test on record, wholly or in part', () => {
    const intervals = [end(0, 0.5), piece(0.5, 20.5), stays(20.5, 60)]
    expect(untestedStretches(run(intervals), [{ fromUm: 0, toUm: 60 * M }])).toEqual([])
    const [left] = untestedStretches(run(intervals), [{ fromUm: 1 * M, toUm: 60 * M }])
    expect(left).toMatchObject({ fromUm: 0, toUm: 1 * M, holds: [2] })
  })

  it('is nothing when the drum comes back and the electrode saw that stretch the first time', () => {
    const first = run([end(0, 5), piece(5, 105), stays(105, 500)])
    expect(sparkTested(first)).toEqual({ fromUm: 3.2 * M, toUm: 108.2 * M })
    const second = run([piece(105, 205), stays(205, 500)])
    expect(untestedStretches(second, [sparkTested(first)])).toEqual([])
    expect(untestedStretches(second, null)[0]).toMatchObject({ fromUm: 105 * M, toUm: 108.2 * M, holds: [1] })
  })

  it('is all of a drum shorter than the way to the cutter', () => {
    const found = untestedStretches(run([piece(0, 2)]), null)
    expect(found.reduce((sum, u) => sum + u.toUm - u.fromUm, 0)).toBe(2 * M)
  })
})

describe('a failed check', () => {
  const check = (at: string, good: boolean, line = 'A'): SparkCheck => ({
    line,
    at,
    faultSeen: good,
    voltageRight: true,
    bondSound: true,
  })
  const cut = (serial: string, at: string, line = 'A') => ({ serial, line, at })
  const pieces = [
    cut('a', '2031-03-01T09:00'),
    cut('b', '2031-03-02T09:00'),
    cut('c', '2031-03-03T09:00'),
    cut('d', '2031-03-02T10:00', 'B'),
  ]
  const names = (checks: SparkCheck[]) =>
    sparkWatch('A', checks, pieces, '2031-03-03').suspicions.map((s) => s.pieces.map((p) => p.serial))

  it('makes all suspect that the tester passed since its last good check', () => {
    const checks = [check('2031-03-02T06:00', true), check('2031-03-03T06:00', false)]
    expect(names(checks)).toEqual([['b']])
    expect(sparkWatch('A', checks, pieces, '2031-03-03').suspicions[0]).toMatchObject({
      lastGoodAt: '2031-03-02T06:00',
      failed: ['the artificial fault was not seen'],
    })
  })

  it('reaches back over all where no good check is on record, and over the day where only the day is known', () => {
    expect(names([check('2031-03-02T12:00', false)])).toEqual([['a', 'b']])
    expect(names([check('2031-03-02', true), check('2031-03-03', false)])).toEqual([['b', 'c']])
  })

  const due = (checks: SparkCheck[] | null) => sparkWatch('A', checks, pieces, '2031-03-03').due

  it('is due again each day, and at once after a failure', () => {
    expect(due(null)).toBe('checks not recorded')
    expect(due([])).toBe('no check on record')
    expect(due([check('2031-03-03T06:00', true)])).toBeNull()
    expect(due([check('2031-03-02T06:00', true)])).toContain('2031-03-02')
    expect(due([check('2031-03-03T06:00', false)])).toContain('failed')
  })
})
