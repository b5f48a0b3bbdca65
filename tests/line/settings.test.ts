import fc from 'fast-check'
import { beforeAll, describe, expect, it } from 'vitest'
import { learnedRun } from '../../src/line/learned-run.ts'
import { lineSettings, type PreparedMounting, prepareMountings } from '../../src/line/line-settings.ts'
import type { LineWorks } from '../../src/line/line-works.ts'
import type { MountingSettings } from '../../src/line/mounting-settings.ts'
import type { RunSample } from '../../src/line/run-sample.ts'
import { settingRows, settingWarnings } from '../../src/line/setting-rows.ts'
import type { Plan } from '../../src/plan/plan.ts'
import { LastmetreError } from '../../src/quantity/errors.ts'
import type { Works } from '../../src/works/works.ts'
import { demoLine } from './demo-settings.ts'

let works: Works & LineWorks
let plan: Plan
let all: MountingSettings[]
let one: PreparedMounting
beforeAll(async () => {
  ;({ works, plan } = await demoLine())
  all = lineSettings(works, plan.mountings)
  one = prepareMountings(works, plan.mountings).find((p) => p.settings({}).cable === 'C081-50')!
})

const limit = (s: MountingSettings, name: string) => s.limits.find((l) => l.name === name)!

describe('the settings of the demo plan', () => {
  it('break no limit of motion and pull, and say which one binds', () => {
    expect(all.length).toBeGreaterThan(10)
    for (const s of all) {
      for (const on of ['speed', 'ramp', 'slow-down'] as const) {
        const found = s.limits.filter((l) => l.on === on)
        expect(found.filter((l) => l.broken)).toEqual([])
        expect(found.filter((l) => l.binding).length).toBeGreaterThanOrEqual(1)
      }
      expect(s.mostN!).toBeLessThanOrEqual(s.permittedN!)
      expect(s.leastN!).toBeGreaterThan(0)
      expect(s.spark.dwellCycles!).toBeGreaterThanOrEqual(s.spark.minDwellCycles! - 1e-9)
      for (const l of s.limits) expect(l.value === null || Number.isFinite(l.value), l.name).toBe(true)
    }
  })

  it('stop every cut so that the counter then stands at its need, less the overrun', () => {
    for (const s of all)
      for (const p of s.presets) {
        const needM = p.lengthM * (1 + s.counterErrorRatio!)
        // up to the next step of the counter, never short of it
        expect(p.stopAtM + s.overrunM * (1 + s.counterErrorRatio!)).toBeGreaterThan(needM - 1e-5)
        expect(p.stopAtM + s.overrunM).toBeLessThan(needM + 0.0011)
        expect(p.slowAtM).toBeLessThan(p.stopAtM)
      }
  })

  it('count the minutes of the parts', () => {
    for (const s of all) {
      const parts = s.mountMinutes + s.putupMinutes + s.runMinutes + s.handlingMinutes
      expect(s.minutes).toBeCloseTo(parts, 9)
      const runS = s.presets.reduce((sum, p) => sum + p.runS, 0)
      expect(s.runMinutes).toBeCloseTo(runS / 60, 9)
    }
  })

  it('flag a works voltage below the published one, and do not hide it', () => {
    // 1.52 mm of jacket: MIL-DTL-22931D table VII asks 9 kV, the works sets 8
    const s = all.find((x) => x.cable === 'C142-50')!
    expect(s.spark).toMatchObject({ kv: 8, publishedMinKv: 9 })
    expect(limit(s, 'published least voltage for the wall').broken).toBe(true)
    expect(settingWarnings(s).join(' ')).toContain('9 kV at least, but 8 kV here')
  })

  it('do not ask more of the dancer than it holds', () => {
    // RW-1: 80 N on 4 falls is 20 N; the works sets 23 N for this type
    const s = all.find((x) => x.cable === 'C081-50' && x.line === 'RW-1')!
    expect(s.tensionN).toBe(20)
    expect(limit(s, 'most that the dancer holds').binding).toBe(true)
  })
})

describe('what follows when an input changes', () => {
  it('a slower line, a shorter electrode, a steeper need of cycles', () => {
    expect(one.settings({ speedMaxMPerMin: 90 }).speedMPerMin).toBe(90)
    // 50 Hz · 0.2 m / 9 cycles = 1.11 m/s = 66.7 m/min
    const shorter = one.settings({ electrodeMm: 200 })
    expect(shorter.speedMPerMin).toBe(66)
    expect(limit(shorter, 'dwell in the spark tester').binding).toBe(true)
    expect(shorter.minutes).toBeGreaterThan(one.settings({}).minutes)
  })

  it('a pay-off that is not driven allows hardly any ramp, and the limit that binds is said', () => {
    const s = one.settings({ payoffDriven: false })
    expect(s.rampMPerS2).toBeLessThan(0.05)
    expect(limit(s, 'slack at the pay-off').binding).toBe(true)
    expect(s.mostN!).toBeLessThanOrEqual(s.permittedN! + 1e-9)
    expect(settingRows(s).some((row) => row.text.startsWith('not driven'))).toBe(true)
  })

  it('a lag of the pay-off needs travel of the dancer, v·τ', () => {
    // RW-1: 40 % of 0.6 m on 4 falls is 0.96 m; at half a second 1.92 m/s
    const s = one.settings({ payoffLagS: 0.5 })
    expect(s.speedMPerMin).toBe(115)
    expect(s.payoff.dancerNeedM!).toBeLessThanOrEqual(s.payoff.dancerRoomM)
    expect(one.settings({ payoffLagS: 0 }).speedMPerMin).toBe(one.settings({}).speedMPerMin)
  })

  it('a jerk limit costs time', () => {
    expect(one.settings({ jerkMPerS3: 0.3 }).runMinutes).toBeGreaterThan(one.settings({}).runMinutes)
  })

  it('another barrel below what the cable may have is flagged', () => {
    const s = one.settings({ takeupBarrelMm: 100 })
    expect(limit(s, 'smallest barrel of the type').broken).toBe(true)
    expect(settingWarnings(s).join(' ')).toContain('170 mm at least, but 100 mm here')
  })

  it('what is not known is shown as not known, never as nought or without end', () => {
    const s = one.settings({
      barrelMinMm: null,
      bendMinRepeatedMm: null,
      minDwellCycles: null,
      stretchEaKn: null,
      pullMaxN: null,
      capPfM: null,
      counterErrorRatio: null,
    })
    for (const name of [
      'smallest barrel of the type',
      'repeated bend radius, at the capstan',
      'cycles in the electrode',
      'greatest pull of the type',
    ])
      expect(limit(s, name)).toMatchObject({ value: null, broken: false, binding: false })
    expect(s.spark).toMatchObject({ speedLimitMPerMin: null, storedEnergyJ: null, minDwellCycles: null })
    expect(s.strainRatio).toBeNull()
    expect(s.presets[0]!.relaxesByMm).toBeNull()
    const warned = settingWarnings(s).join(' ')
    expect(warned).toContain('smallest barrel of the type')
    expect(warned).toContain('presets are not corrected')
    expect(JSON.stringify(s)).not.toMatch(/Infinity|NaN/)
  })
})

describe('any change of inputs', () => {
  const change = fc.record(
    {
      speedMaxMPerMin: fc.double({ min: 1, max: 600, noNaN: true }),
      accelMPerS2: fc.double({ min: 0.01, max: 3, noNaN: true }),
      decelMPerS2: fc.double({ min: 0.01, max: 3, noNaN: true }),
      jerkMPerS3: fc.option(fc.double({ min: 0.01, max: 20, noNaN: true })),
      payoffDriven: fc.boolean(),
      payoffLagS: fc.option(fc.double({ min: 0, max: 2, noNaN: true })),
      rampPulledKg: fc.option(fc.double({ min: 0, max: 100, noNaN: true })),
      tensionN: fc.double({ min: -1, max: 400, noNaN: true }),
      pullMaxN: fc.option(fc.double({ min: 1, max: 500, noNaN: true })),
      stretchEaKn: fc.option(fc.double({ min: 1, max: 2000, noNaN: true })),
      sparkHz: fc.option(fc.constantFrom(50, 60, 3000)),
      electrodeMm: fc.double({ min: 10, max: 2000, noNaN: true }),
      takeupBarrelMm: fc.option(fc.double({ min: 10, max: 900, noNaN: true })),
    },
    { requiredKeys: [] },
  )

  it('is refused by name or breaks no limit of motion and pull', () => {
    fc.assert(
      fc.property(change, (overrides) => {
        let s: MountingSettings
        try {
          s = one.settings(overrides)
        } catch (error) {
          expect(error).toBeInstanceOf(LastmetreError)
          return
        }
        const moving = s.limits.filter((l) => ['speed', 'ramp', 'slow-down'].includes(l.on))
        expect(moving.filter((l) => l.broken)).toEqual([])
        if (s.mostN !== null && s.permittedN !== null)
          expect(s.mostN).toBeLessThanOrEqual(s.permittedN * (1 + 1e-9))
        if (s.leastN !== null) expect(s.leastN).toBeGreaterThanOrEqual(-1e-9)
        expect(JSON.stringify(s)).not.toMatch(/NaN|Infinity/)
        for (const value of [s.speedMPerMin, s.rampMPerS2, s.slowDownMPerS2, s.minutes, s.tensionN])
          expect(value).toBeGreaterThan(0)
        for (const p of s.presets) expect(Number.isFinite(p.stopAtM) && p.slowAtM <= p.stopAtM).toBe(true)
        expect(settingRows(s).length).toBeGreaterThan(8)
      }),
      { numRuns: 400 },
    )
  })
})

describe('input that makes no sense is refused by name, with the remedy', () => {
  it.each([
    [{ tensionN: 0 }, /tensionN; cables\.csv line_tension_n\) is 0 N: give a number above 0/],
    [{ tensionN: Number.NaN }, /tensionN.*is not a number/],
    [{ dancerForceMinN: 500 }, /dancerForceMinN.*above the greatest force/],
    [{ dancerCentrePct: 95 }, /dancerCentrePct.*between the two limits/],
    [{ accelMPerS2: -1 }, /accelMPerS2.*give a number above 0/],
    [{ sparkKv: null as unknown as number }, /sparkKv.*is not a number/],
    [{ pullMaxN: 20 }, /20 N of at most 20 N permitted leaves nothing for a ramp/],
    [{ ['__proto__x' as never]: 1 }, /is not an input of the line sheet/],
  ])('%j', (changes, message) => {
    expect(() => one.settings(changes)).toThrow(message)
  })
})

describe('what a recorded run teaches', () => {
  it('reads tension, dancer and overrun off the demo run of RW-2', () => {
    const line = works.site.lines.find((l) => l.id === 'RW-2')!
    const ramps = { accelMPerS2: line.accelMS2, decelMPerS2: line.decelMS2 }
    const learned = learnedRun('RW-2', works.lineRun, line.dancer, ramps)!
    // means of the file taken by hand: 52.0 N on the ramp of 0.35 m/s², 43.1 N at steady speed; dancer 61.65 % and 50.2 %
    expect(learned.rampPulledKg!).toBeCloseTo((52 - 43.1) / 0.35, -0.5)
    expect(learned.rampCableS2!).toBeCloseTo((((61.65 - 50.2) / 100) * 0.9 * 2) / 0.35, 1)
    // last sample before the stop was ordered 99.982 m, at rest 99.989 m
    expect(learned.overrunMeanM!).toBeCloseTo(0.007, 9)
    expect(learned.overrunSdM).toBeNull()
    expect(learnedRun('RW-1', works.lineRun, line.dancer, ramps)).toBeNull()
  })

  it('knows nothing of ramps where there are too few samples, and the spread from two stops on', () => {
    const sample = works.lineRun[0]!
    const stop = (atM: number, restM: number, t: number): RunSample[] => [
      { ...sample, tS: t, vSetMS: 1, vMS: 1, countM: atM, state: 'RUN' },
      { ...sample, tS: t + 1, vSetMS: 0, vMS: 0, countM: restM, state: 'STOP' },
    ]
    const runs = [...stop(10, 10.01, 0), ...stop(20, 20.02, 10), ...stop(30, 30.03, 20)]
    const learned = learnedRun('RW-2', runs, { travelM: 1, falls: 2 }, { accelMPerS2: 1, decelMPerS2: 1 })!
    expect(learned).toMatchObject({ stops: 3, rampPulledKg: null, rampCableS2: null })
    expect(learned.overrunMeanM!).toBeCloseTo(0.02, 9)
    expect(learned.overrunSdM!).toBeCloseTo(0.01, 9)
  })
})
