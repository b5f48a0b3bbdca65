import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { setupFor, simulatedRun } from '../../bench/generate/simulated-run.ts'
import { type RunAnalysis, replayRun } from '../../src/line/replay/run-analysis.ts'
import type { RunSample } from '../../src/line/run-sample.ts'
import { LastmetreError } from '../../src/quantity/errors.ts'

/** Records that are broken in the ways that records are. The outside witness is the simulation's truth. */
const OD = 8.1
const analysed = (record: RunSample[]) => replayRun(record, setupFor(OD)).analysis
const kindsOf = ({ findings }: RunAnalysis) => findings.map(({ kind }) => kind)
const seeds = Array.from({ length: 12 }, (_, i) => i + 1)

describe('a broken record', () => {
  it.each(seeds)('a counter reset in mid-run is bridged and placed, seed %i', (seed) => {
    const { record, truth } = simulatedRun({ seed, odMm: OD, lengthM: 150, resetAtM: 40 + 5 * seed })
    const analysis = analysed(record)
    expect(kindsOf(analysis)).toEqual(['counter-reset'])
    const [reset] = analysis.findings
    expect(Math.abs(reset!.fromM! - (40 + 5 * seed))).toBeLessThanOrEqual(0.3)
    // what the counter lost, and the cable at the end, within what is claimed; rounding of the counter is within it
    const lost = record.at(-1)!.countM - truth.endM
    expect(Math.abs(reset!.size! - lost)).toBeLessThanOrEqual(reset!.sizeUncertainty! + 0.001)
    const { cableM, uncertaintyM } = analysis.pieces[0]!.forecasts.at(-1)!
    expect(Math.abs(cableM - truth.endM)).toBeLessThanOrEqual(uncertaintyM)
  })

  it('a counter that leaps ahead is held against the take-up turns', () => {
    const { record, truth } = simulatedRun({ seed: 2, odMm: OD, lengthM: 120 })
    const leapt = record.map((s) => ({ ...s, countM: s.countM + (s.countM > 60 ? 17.25 : 0) }))
    const analysis = analysed(leapt)
    expect(kindsOf(analysis)).toEqual(['counter-jump'])
    expect(Math.abs(analysis.findings[0]!.size! - 17.25)).toBeLessThanOrEqual(0.01)
    expect(Math.abs(analysis.toM - truth.endM)).toBeLessThan(0.06)
  })

  it('nothing recorded for a while: the stretch is named, the rest is right', () => {
    const { record, truth } = simulatedRun({
      seed: 3,
      odMm: OD,
      lengthM: 150,
      dropOut: { fromM: 70, toM: 85 },
    })
    const analysis = analysed(record)
    expect(kindsOf(analysis)).toEqual(['gap'])
    expect(analysis.findings[0]!.fromM!).toBeCloseTo(70, 0)
    expect(analysis.findings[0]!.toM!).toBeCloseTo(85, 0)
    expect(analysis.time.unknownS).toBeCloseTo(6, 0)
    expect(Math.abs(analysis.toM - truth.endM)).toBeLessThan(0.06)
  })

  it('a clock that is put back changes neither lengths nor times', () => {
    const calm = analysed(simulatedRun({ seed: 4, odMm: OD, lengthM: 150 }).record)
    const { record } = simulatedRun({ seed: 4, odMm: OD, lengthM: 150, clockBackAtM: 75 })
    const analysis = analysed(record)
    expect(kindsOf(analysis)).toEqual(['clock'])
    expect(analysis.findings[0]!.size).toBeCloseTo(-7.2, 6)
    expect(analysis.time.totalS).toBeCloseTo(calm.time.totalS, 6)
    expect(analysis.toM).toBeCloseTo(calm.toM, 6)
  })

  it('a clock that is put forward as well', () => {
    const { record } = simulatedRun({ seed: 4, odMm: OD, lengthM: 150 })
    const later = record.map((s) => ({ ...s, tS: s.tS + (s.countM > 75 ? 3_600 : 0) }))
    const analysis = analysed(later)
    expect(kindsOf(analysis)).toEqual(['clock'])
    expect(analysis.time.totalS).toBeCloseTo(record.at(-1)!.tS - record[0]!.tS, 6)
  })

  it('samples out of order are put back by their time', () => {
    const { record } = simulatedRun({ seed: 5, odMm: OD, lengthM: 150 })
    const mixed = [...record]
    for (const i of [100, 250, 251, 400]) [mixed[i], mixed[i + 1]] = [mixed[i + 1]!, mixed[i]!]
    const [calm, analysis] = [analysed(record), analysed(mixed)]
    expect(kindsOf(analysis)).toEqual(['out-of-order'])
    expect({ ...analysis, findings: [] }).toEqual({ ...calm, findings: [] })
  })

  it('cells without a number are named and left out', () => {
    const { record } = simulatedRun({ seed: 6, odMm: OD, lengthM: 150, pinholes: [60] })
    const holed = record.map((s, i) => ({
      ...s,
      countM: i % 50 === 7 ? Number.NaN : s.countM,
      odXMm: i > 300 && i < 320 ? Number.NaN : s.odXMm,
    }))
    const { findings } = analysed(holed)
    expect(findings.filter(({ kind }) => kind === 'unreadable').map(({ text }) => text)).toEqual([
      expect.stringMatching(/^\d+ samples have no number in count_m, the first at 10\.7 s/),
      expect.stringMatching(/^19 samples have no number in od_x_mm/),
    ])
    expect(findings.map(({ kind }) => kind)).toContain('spark')
  })

  it('a record of nothing is refused with a reason', () => {
    expect(() => analysed([])).toThrow(LastmetreError)
    const { record } = simulatedRun({ seed: 6, odMm: OD, lengthM: 20 })
    expect(() => analysed(record.map((s) => ({ ...s, countM: Number.NaN })))).toThrow(/counter figure/)
  })
})

describe('whatever a record holds', () => {
  const cell = fc.oneof(
    { weight: 6, arbitrary: fc.double({ min: 0, max: 200, noNaN: true }) },
    fc.constantFrom(0, Number.NaN, Number.POSITIVE_INFINITY, -5, 1e9),
  )
  const sample = fc.record({
    ...{
      tS: cell,
      vSetMS: cell,
      vMS: cell,
      countM: cell,
      takeupTurns: cell,
      payoffVMS: cell,
      dancerPct: cell,
    },
    ...{
      tensionN: cell,
      sparkKv: cell,
      sparkMa: cell,
      sparkEvent: fc.constantFrom(0, 1),
      odXMm: cell,
      odYMm: cell,
    },
    ...{ line: fc.constant('L'), cable: fc.constant('C'), targetM: fc.constant(100) },
    state: fc.constantFrom('RUN' as const, 'STOP' as const),
  })

  it('it is refused or read, the parts of the time add up, and no figure is without a number', () => {
    fc.assert(
      fc.property(fc.array(sample, { maxLength: 80 }), (record) => {
        let analysis: RunAnalysis
        try {
          analysis = analysed(record)
        } catch (error) {
          expect(error).toBeInstanceOf(LastmetreError)
          return
        }
        const { runningS, handlingS, waitingS, unknownS, totalS, crawlingS, microStopS } = analysis.time
        const sum = runningS + handlingS + waitingS + unknownS
        expect(Math.abs(sum - totalS)).toBeLessThanOrEqual(1e-6 * Math.max(1, totalS))
        expect(crawlingS).toBeLessThanOrEqual(runningS)
        expect(microStopS).toBeLessThanOrEqual(waitingS + 1e-9)
        for (const { fromM, toM, size, sizeUncertainty, placeUncertaintyM, text } of analysis.findings) {
          for (const figure of [fromM, toM, size, sizeUncertainty, placeUncertaintyM])
            if (figure !== null) expect(Number.isFinite(figure)).toBe(true)
          expect(text).not.toMatch(/NaN|Infinity|undefined/)
        }
      }),
      { numRuns: 400 },
    )
  })
})
