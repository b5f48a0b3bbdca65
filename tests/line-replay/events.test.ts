import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../bench/generate/random.ts'
import { setupFor, simulatedRun } from '../../bench/generate/simulated-run.ts'
import type { RunFinding } from '../../src/line/replay/finding.ts'
import { replayRun } from '../../src/line/replay/run-analysis.ts'
import type { RunSample } from '../../src/line/run-sample.ts'

/** Lumps, sparks, pull and time; the outside witness is the simulation's truth. */
const OD = 8.1
const findingsOf = (record: RunSample[]) => replayRun(record, setupFor(OD)).analysis.findings
const kinds = (findings: RunFinding[]) => findings.map(({ kind }) => kind)
const calm = simulatedRun({ seed: 1, odMm: OD, lengthM: 120 }).record
const from200 = (change: (sample: RunSample) => Partial<RunSample>, count: number) =>
  calm.map((s, i) => (i >= 200 && i < 200 + count ? { ...s, ...change(s) } : s))

describe('what the heads saw', () => {
  it('lies on the strip where it truly was, though the counter slipped between, in 60 simulated runs', () => {
    const seen = { lumps: 0, lumpsWithin: 0, sparks: 0, sparksWithin: 0, false: 0 }
    for (let seed = 1; seed <= 60; seed++) {
      const random = seededRandom(seed + 900)
      const lump = { atM: random.decimal(70, 100, 3), longM: random.decimal(0.5, 1.5, 3), overMm: 0.5 }
      const hole = random.decimal(105, 130, 3)
      const slip = { fromM: 40, toM: 50, ratio: 0.03 }
      const wanted = { seed, odMm: OD, lengthM: 140, lumps: [lump], pinholes: [hole], slips: [slip] }
      for (const f of findingsOf(simulatedRun(wanted).record)) {
        if (f.kind === 'lump') {
          seen.lumps++
          const low = f.fromM! - f.placeUncertaintyM!
          const high = f.toM! + f.placeUncertaintyM!
          if (low <= lump.atM && high >= lump.atM + lump.longM - 0.25) seen.lumpsWithin++
        } else if (f.kind === 'spark') {
          seen.sparks++
          const u = f.placeUncertaintyM!
          if (hole >= f.fromM! - u && hole <= f.toM! + u) seen.sparksWithin++
        } else if (f.kind !== 'slip') seen.false++
      }
    }
    // every fault once; k = 2, and the electrode and a sample on top: of 60, fewer than 52 within is below 0.003
    expect(seen).toMatchObject({ lumps: 60, sparks: 60, false: 0 })
    expect(seen.lumpsWithin).toBeGreaterThanOrEqual(52)
    expect(seen.sparksWithin).toBeGreaterThanOrEqual(52)
  }, 60_000)

  it('the head lies before the cutter: its place is further in by the way between them', () => {
    const one = from200(() => ({ sparkEvent: 1, sparkMa: 5.4 }), 1)
    const [spark] = findingsOf(one)
    const middle = (spark!.fromM! + spark!.toM!) / 2
    expect(spark!.kind).toBe('spark')
    // 4.6 m from electrode to cutter, in the setup
    expect(Math.abs(middle - (one[200]!.countM + 4.6))).toBeLessThan(0.05)
    expect(spark!.size).toBe(5.4)
  })

  it('a single sample over the limit is no lump, two are', () => {
    const wide = () => ({ odXMm: 8.6, odYMm: 8.5 })
    const { analysis } = replayRun(from200(wide, 1), setupFor(OD))
    expect(analysis.findings).toEqual([])
    expect(analysis.diameter!.singles).toBe(1)
    const [lump] = findingsOf(from200(wide, 2))
    // mean of the axes less the nominal diameter
    expect([lump!.kind, Number(lump!.size!.toFixed(6))]).toEqual(['lump', 0.45])
  })

  it('necks and oval stretches have their own names', () => {
    expect(kinds(findingsOf(from200(() => ({ odXMm: 7.8, odYMm: 7.8 }), 3)))).toEqual(['neck'])
    const [oval] = findingsOf(from200(() => ({ odXMm: 8.3, odYMm: 7.9 }), 3))
    expect([oval!.kind, Number(oval!.size!.toFixed(6))]).toEqual(['oval', 0.4])
  })

  it('sparks further apart than the electrode is long are two places, nearer ones are one', () => {
    const sparkAt = (...at: number[]) => calm.map((s, i) => (at.includes(i) ? { ...s, sparkEvent: 1 } : s))
    // 0.25 m a sample, electrode 0.75 m
    expect(kinds(findingsOf(sparkAt(200, 204)))).toEqual(['spark', 'spark'])
    expect(kinds(findingsOf(sparkAt(200, 202)))).toEqual(['spark'])
    expect(findingsOf(sparkAt(200, 202, 204, 206))[0]!.text).toMatch(/more than one fault/)
  })

  it('a spark tester that is off leaves its stretch untested', () => {
    const [low] = findingsOf(from200(() => ({ sparkKv: 0 }), 40))
    expect(low).toMatchObject({ kind: 'spark-low', severity: 'wrong', size: 0, unit: 'kV' })
    expect(low!.toM! - low!.fromM!).toBeCloseTo(10, 0)
  })

  it('creeping spark current and a drifting diameter are found with their size, and not without', () => {
    let within = 0
    for (let seed = 1; seed <= 20; seed++) {
      const wanted = { seed, odMm: OD, lengthM: 300, sparkCreepMaPerMin: 0.2, diameterDriftMmPerM: 0.0004 }
      const run = simulatedRun(wanted)
      const found = findingsOf(run.record)
      expect(kinds(found).sort()).toEqual(['diameter-trend', 'spark-creep'])
      const trend = found.find(({ kind }) => kind === 'diameter-trend')!
      if (Math.abs(trend.size! - 0.0004 * (trend.toM! - trend.fromM!)) <= trend.sizeUncertainty!) within++
    }
    // k = 2: of 20, fewer than 16 within has a probability below 0.003
    expect(within).toBeGreaterThanOrEqual(16)
  })
})

describe('pull', () => {
  it('tension that leaves its band is one finding, with the worst of it', () => {
    const found = findingsOf(from200(() => ({ tensionN: 60 }), 20))
    expect(found).toHaveLength(1)
    // 43 N is the setting in the setup
    expect(found[0]).toMatchObject({ kind: 'tension', severity: 'watch', size: 17, unit: 'N' })
    expect(found[0]!.text).toMatch(/40 % above the 43 N of the setting, at even speed/)
  })

  it('one wild sample of tension is none', () => {
    expect(findingsOf(from200(() => ({ tensionN: 90 }), 1))).toEqual([])
  })

  it('above the greatest pull of the type a single sample counts', () => {
    const [found] = findingsOf(from200(() => ({ tensionN: 500 }), 1))
    expect(found).toMatchObject({ kind: 'tension', severity: 'wrong' })
  })

  it('slack is found as well', () => {
    const [found] = findingsOf(from200(() => ({ tensionN: 12 }), 10))
    expect(found!.size).toBe(12 - 43)
  })

  it('a dancer near its stop is watched, beyond it is wrong', () => {
    expect(findingsOf(from200(() => ({ dancerPct: 85 }), 10))[0]).toMatchObject({
      kind: 'dancer',
      severity: 'watch',
    })
    expect(findingsOf(from200(() => ({ dancerPct: 95 }), 10))[0]).toMatchObject({
      kind: 'dancer',
      severity: 'wrong',
    })
    expect(findingsOf(from200(() => ({ dancerPct: 5 }), 10))[0]).toMatchObject({
      kind: 'dancer',
      severity: 'wrong',
    })
  })
})

describe('time', () => {
  it('a short stop in mid-piece is a micro-stop where it was', () => {
    const { record } = simulatedRun({ seed: 2, odMm: OD, lengthM: 120, standsAtM: { atM: 60, seconds: 12 } })
    const { analysis } = replayRun(record, setupFor(OD))
    const [stop] = analysis.findings.filter(({ kind }) => kind === 'micro-stop')
    // a sample at either end
    expect(Math.abs(stop!.size! - 12)).toBeLessThanOrEqual(0.3)
    expect(stop!.fromM).toBeCloseTo(60, 1)
    expect(analysis.time).toMatchObject({ microStops: 1, microStopS: stop!.size, waitingS: stop!.size })
  })

  it('standing at the end of a piece is handling, beyond what handling takes it is waiting', () => {
    const last = calm.at(-1)!
    // 300 s is the longest handling of the line in the setup
    const stood = Array.from({ length: 4_000 }, (_, i) => ({ ...last, tS: last.tS + (i + 1) / 10 }))
    const { time } = replayRun([...calm, ...stood], setupFor(OD)).analysis
    expect(time.handlingS).toBeCloseTo(300, 6)
    expect(time.waitingS).toBeGreaterThan(99.9)
    expect(time.microStops).toBe(0)
  })

  it('a record of two pieces is two, each with its own forecast', () => {
    const first = simulatedRun({ seed: 3, odMm: OD, lengthM: 60 })
    const second = simulatedRun({ seed: 4, odMm: OD, lengthM: 90 })
    const startS = first.record.at(-1)!.tS + 70
    const next = second.record.map((s) => ({ ...s, tS: s.tS + startS - 10 }))
    const { analysis } = replayRun([...first.record, ...next], setupFor(OD))
    expect(analysis.pieces.map(({ presetM }) => presetM)).toEqual([60, 90])
    const lengths = analysis.pieces.map(({ forecasts }) => forecasts.at(-1)!.cableM)
    expect(lengths[0]).toBeCloseTo(first.truth.endM, 1)
    expect(lengths[1]).toBeCloseTo(second.truth.endM, 1)
    expect(analysis.toM).toBeCloseTo(first.truth.endM + second.truth.endM, 1)
  })
})

describe('before the cut', () => {
  it('the length at the stop is foretold when the line begins to slow down, slips counted in, in 40 runs', () => {
    let within = 0
    for (let seed = 1; seed <= 40; seed++) {
      const slips = [{ fromM: 30, toM: 40, ratio: 0.012 }]
      const { record, truth } = simulatedRun({ seed, odMm: OD, lengthM: 120, slips })
      const { forecasts } = replayRun(record, setupFor(OD)).analysis.pieces[0]!
      expect(forecasts.map(({ when }) => when)).toEqual(['slow-down', 'stop', 'stands'])
      const early = forecasts[0]!
      expect(early.atS).toBeLessThan(record.at(-1)!.tS - 5)
      if (Math.abs(early.cableM - truth.endM) <= early.uncertaintyM) within++
      // 10 m at 1.2 % passed uncounted: the piece is longer than its preset
      expect(early.againstPresetM).toBeGreaterThan(0.05)
    }
    // k = 2: of 40, fewer than 34 within has a probability below 0.004
    expect(within).toBeGreaterThanOrEqual(34)
  }, 60_000)

  it('a counter that reads long leaves the piece short', () => {
    const setup = { ...setupFor(OD), correction: { errorRatio: 0.002, standardErrorRatio: 0.0002 } }
    const { forecasts } = replayRun(calm, setup).analysis.pieces[0]!
    // 120 m on the counter, over 1.002: 0.2395 m less
    expect(forecasts[0]!.againstPresetM).toBeCloseTo(120 / 1.002 - 120, 3)
    expect(forecasts[0]!.text).toMatch(/^The run will stop 0\.24 m short of its preset of 120 m/)
  })
})
