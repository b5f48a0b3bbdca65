import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { CounterCheck } from '../../src/measure/counter-check.ts'
import { counterCorrection } from '../../src/measure/counter-correction.ts'
import { type CounterReading, counterReadings, dayOf } from '../../src/measure/counter-reading.ts'
import type { TrendAt } from '../../src/measure/counter-trend.ts'
import { cutsChangedByGuard } from '../../src/measure/guard-change.ts'
import { type CutRecord, checkDays, lookBack } from '../../src/measure/look-back.ts'
import { bulkCutUm } from '../../src/plan/item.ts'
import { umFromM } from '../../src/quantity/length.ts'
import type { Mounting } from '../../src/strip/cut-plan.ts'

const reading = (date: string, errorRatio: number): CounterReading => ({
  ...{ date, day: dayOf(date), cable: 'C', errorRatio, tapeM: 20 },
})
const cut = (id: string, cutAt: string, declaredM: number, counterM: number): CutRecord => ({
  ...{ id, line: 'A', cable: 'C', cutAt, declaredUm: umFromM(declaredM), counterUm: umFromM(counterM) },
})
const at = (date: string, errorRatio: number, standardRatio = 0.0001): TrendAt => ({
  ...{ day: dayOf(date), errorRatio, standardRatio },
})

describe('look-back', () => {
  const path = [at('2031-01-01', 0), at('2031-01-11', 0.001), at('2031-01-21', 0.003)]
  const cuts = [
    cut('before', '2030-12-20', 100, 100),
    cut('on the day', '2031-01-11T09:30', 100, 100.2),
    cut('after', '2031-01-16', 250, 250.25),
    cut('corrected', '2031-01-17', 100, 100.5),
  ]

  it('repeats of one day are one check', () => {
    const days = checkDays(
      [reading('2031-01-01', 0.003), reading('2031-01-01', -0.001), reading('2031-01-02', 0.0025)],
      0,
      0.002,
    )
    expect(days.map((d) => d.good)).toEqual([true, false])
    expect(days[0]!.meanRatio).toBeCloseTo(0.001, 12)
  })

  it('a failed check makes every piece since the last good one suspect, with by how much it is short', () => {
    const days = checkDays(
      [reading('2031-01-01', 0), reading('2031-01-11', 0.001), reading('2031-01-21', 0.003)],
      0,
      0.002,
    )
    const { lastGood, suspect, reason } = lookBack(days, path, cuts, null)
    expect(lastGood).toBe('2031-01-11')
    expect(reason).toContain('2031-01-21 failed')
    expect(suspect.map((s) => s.id)).toEqual(['on the day', 'after', 'corrected'])
    // half-way between the checks the counter read 0.2 % long: 250 − 250.25/1.002 = 0.2495 m
    const [, after, corrected] = suspect
    expect(after!.shortUm).toBe(Math.ceil(umFromM(250) - umFromM(250.25) / 1.002 - 0.01))
    expect(after!.mayBeShortUm).toBe(Math.ceil(umFromM(250) - umFromM(250.25) / 1.0022 - 0.01))
    // cut with a preset that was corrected for 0.5 %: long enough
    expect(corrected).toMatchObject({ shortUm: 0, mayBeShortUm: 0 })
  })

  it('nothing is suspect while the last check is good and nothing drifts', () => {
    const days = checkDays([reading('2031-01-01', 0.003), reading('2031-01-11', 0.001)], 0, 0.002)
    expect(lookBack(days, path, cuts, null)).toMatchObject({
      reason: null,
      suspect: [],
      lastGood: '2031-01-11',
    })
  })

  it('a drift reaches back before the checks that were still called good', () => {
    const days = checkDays(
      [reading('2031-01-01', 0), reading('2031-01-11', 0.001), reading('2031-01-21', 0.0019)],
      0,
      0.002,
    )
    const found = lookBack(days, path, cuts, { began: '2031-01-11' })
    expect(found.lastGood).toBe('2031-01-01')
    expect(found.suspect).toHaveLength(3)
  })

  it('without a good check, and without any, all or nothing', () => {
    const days = checkDays([reading('2031-01-21', 0.003)], 0, 0.002)
    expect(lookBack(days, [at('2031-01-21', 0.003, Number.NaN)], cuts, null).suspect).toHaveLength(4)
    // how sure the error is, is not known from one check: not known, not nought
    expect(
      lookBack(days, [at('2031-01-21', 0.003, Number.NaN)], cuts, null).suspect[0]!.mayBeShortUm,
    ).toBeNull()
    expect(lookBack([], [], cuts, null)).toMatchObject({ reason: null, suspect: [], lastGood: null })
  })
})

describe('checks that cannot be a counter’s error', () => {
  const check = (counterM: number, tapeM: number, date = '2031-01-01'): CounterCheck => ({
    ...{ date, line: 'A', cable: 'C', counterM, tapeM, tempC: 20, tensionN: 8, speedMMin: 60, person: 'P' },
  })

  it('feet against metres is set aside either way, with what to do', () => {
    const { readings, setAside } = counterReadings('A', [check(65.6, 20), check(20, 65.6), check(20.01, 20)])
    expect(readings).toHaveLength(1)
    expect(setAside.map((s) => s.why)).toEqual([
      'counter_m 65.6 and tape_m 20 differ as feet and metres do; write both in metres',
      'counter_m 20 and tape_m 65.6 differ as feet and metres do; write both in metres',
    ])
  })

  it('another length, nought and a bad date are set aside', () => {
    const { readings, setAside } = counterReadings('A', [check(50, 20), check(20, 0), check(20, 20, 'soon')])
    expect(readings).toEqual([])
    expect(setAside.map((s) => s.why.replace(/.*; /, ''))).toEqual([
      'tape the length again',
      'write the check again',
      'write it YYYY-MM-DD',
    ])
  })

  it('and correct no preset', () => {
    const correction = counterCorrection('A', [check(20.02, 20), check(65.6, 20), check(20.04, 20)])!
    expect(correction.errorRatio).toBeCloseTo(0.0015, 12)
  })
})

describe('cuts that a new guard changes', () => {
  const rules = { lengthGuardRatio: 0.001, pieceTrimUm: umFromM(0.3) }
  const piece = (lengthM: number, declaredM: number, putup: string | null) => ({
    ...{
      fromUm: 0,
      toUm: umFromM(lengthM),
      use: 'piece' as const,
      order: '7',
      orderLine: 1,
      piece: 1,
      part: 1,
    },
    ...{ count: 1, declaredUm: umFromM(declaredM), putup },
  })
  const mountings: Mounting[] = [
    {
      drum: 'D1',
      line: 'RW-1',
      intervals: [
        { fromUm: 0, toUm: 5, use: 'end' },
        piece(100.4, 100, 'C-280'),
        piece(50.6, 50, 'C-280'),
        piece(2.02, 2, null),
      ],
    },
    { drum: 'D2', line: 'RW-2', intervals: [piece(100.4, 100, 'C-280')] },
  ]

  it('names each bulk cut with what it lacks or could save; leads and what has run are left alone', () => {
    const changed = cutsChangedByGuard(mountings, 0.0025, rules, new Set([2]))
    expect(changed.map((c) => [c.mounting, c.cut, c.neededUm, c.missingUm])).toEqual([
      [1, 2, umFromM(100.55), umFromM(0.15)],
      // cut longer than needed: what it has is enough, though its need grows
      [1, 3, umFromM(50.425), umFromM(-0.175)],
    ])
    expect(cutsChangedByGuard(mountings, 0.0005, rules).map((c) => c.missingUm)).toEqual([
      umFromM(-0.05),
      umFromM(-0.275),
      umFromM(-0.05),
    ])
  })

  it('asks for what the planner cuts', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1_000, max: 5e9 }),
        fc.integer({ min: 0, max: 20_000 }),
        (declaredUm, guardPerMillion) => {
          const guard = guardPerMillion / 1e6
          const [changed] = cutsChangedByGuard(
            [{ drum: 'D', line: 'A', intervals: [{ ...piece(0, 1, 'C'), declaredUm }] }],
            guard,
            { ...rules, lengthGuardRatio: -0.5 },
          )
          expect(changed?.neededUm).toBe(bulkCutUm(declaredUm, guard, rules.pieceTrimUm))
        },
      ),
    )
  })

  it('the guard in force changes nothing', () => {
    expect(cutsChangedByGuard(mountings, 0.001, rules)).toEqual([])
  })
})
