import { describe, expect, it } from 'vitest'
import { seededRandom } from '../../bench/generate/random.ts'
import { setupFor, simulatedRun } from '../../bench/generate/simulated-run.ts'
import { replayRun } from '../../src/line/replay/run-analysis.ts'
import type { RunSample } from '../../src/line/run-sample.ts'

/**
 * No published value exists for this: the outside witness is the simulation, which knows what slipped and nothing of
 * how it is found.
 */
const RUNS = 60
const LENGTH_KINDS = ['slip', 'take-up', 'payoff', 'counter-reset', 'counter-jump', 'gap', 'clock']

function wantedRun(seed: number) {
  const random = seededRandom(seed + 5_000)
  const odMm = random.pick([2.8, 5, 8.1, 11, 15])
  const lengthM = random.decimal(100, 400, 1)
  const fromM = random.decimal(20, lengthM - 40, 2)
  const slip = { fromM, toM: fromM + random.decimal(3, 15, 2), ratio: random.decimal(0.006, 0.04, 4) }
  return { odMm, lengthM, slip, amountM: slip.ratio * (slip.toM - slip.fromM) }
}

describe('slip of the counter', () => {
  it('is found where it was, by how much, in simulated runs', () => {
    const seen = { found: 0, within: 0, false: 0, offM: [] as number[], lengthWithin: 0 }
    for (let seed = 1; seed <= RUNS; seed++) {
      const { odMm, lengthM, slip, amountM } = wantedRun(seed)
      const { record, truth } = simulatedRun({ seed, odMm, lengthM, slips: [slip] })
      const { analysis } = replayRun(record, setupFor(odMm))
      const slips = analysis.findings.filter(({ kind }) => LENGTH_KINDS.includes(kind))
      const hits = slips.filter(
        (f) => f.kind === 'slip' && f.fromM! < slip.toM && f.toM! > slip.fromM && f.size! > 0,
      )
      seen.false += slips.length - hits.length
      const [hit] = hits
      if (!hit) continue
      seen.found++
      if (Math.abs(hit.size! - amountM) <= hit.sizeUncertainty!) seen.within++
      seen.offM.push(Math.abs(hit.fromM! - slip.fromM), Math.abs(hit.toM! - slip.toM))
      const stood = analysis.pieces[0]!.forecasts.find(({ when }) => when === 'stands')!
      if (Math.abs(stood.cableM - truth.endM) <= stood.uncertaintyM) seen.lengthWithin++
    }
    // slips of 20 mm and more: one in a hundred may hide behind a layer that begins, so at most one of these
    expect(seen.found).toBeGreaterThanOrEqual(RUNS - 1)
    expect(seen.false).toBeLessThanOrEqual(1)
    // the band is k = 2, 95 %: of 60, fewer than 52 within has a probability below 0.003
    expect(seen.within).toBeGreaterThanOrEqual(52)
    expect(seen.lengthWithin).toBeGreaterThanOrEqual(52)
    // the ends: one sample is 0.25 m at 2.5 m/s, so nine in ten within two samples
    const sorted = seen.offM.sort((a, b) => a - b)
    expect(sorted[Math.floor(0.9 * sorted.length)]).toBeLessThan(0.5)
  }, 120_000)

  it('is not seen where there is none', () => {
    const seen: string[] = []
    for (let seed = 201; seed < 201 + RUNS; seed++) {
      const { odMm, lengthM } = wantedRun(seed)
      const { record } = simulatedRun({ seed, odMm, lengthM })
      for (const found of replayRun(record, setupFor(odMm)).analysis.findings)
        if (found.severity !== 'note') seen.push(`${seed}: ${found.text}`)
    }
    expect(seen).toEqual([])
  }, 120_000)

  const slip = { fromM: 60, toM: 68, ratio: 0.02 }
  const amountM = 0.16
  const blindTo = (key: 'takeupTurns' | 'payoffVMS', seed: number) =>
    simulatedRun({ seed, odMm: 8.1, lengthM: 150, slips: [slip] }).record.map(
      (sample): RunSample => ({ ...sample, [key]: Number.NaN }),
    )

  it.each([
    ['take-up turns', 'payoffVMS', /by the take-up turns; the payoff says nothing/],
    ['payoff', 'takeupTurns', /by the payoff; the take-up turns say nothing/],
  ] as const)('is found by the %s alone', (_name, blind, words) => {
    const seen = { found: 0, within: 0, elsewhere: 0 }
    for (let seed = 1; seed <= 30; seed++) {
      const { findings } = replayRun(blindTo(blind, seed), setupFor(8.1)).analysis
      const slips = findings.filter(({ kind }) => kind === 'slip')
      const hits = slips.filter((f) => f.fromM! < slip.toM + 0.5 && f.toM! > slip.fromM && f.size! > 0)
      seen.elsewhere += slips.length - hits.length
      if (hits.length === 0) continue
      seen.found++
      for (const { text } of hits) expect(text).toMatch(words)
      const sum = hits.reduce((all, { size }) => all + size!, 0)
      const band = Math.hypot(...hits.map(({ sizeUncertainty }) => sizeUncertainty!))
      if (Math.abs(sum - amountM) <= band) seen.within++
    }
    // k = 2: of 30, fewer than 25 within has a probability below 0.002
    expect(seen).toMatchObject({ found: 30, elsewhere: 0 })
    expect(seen.within).toBeGreaterThanOrEqual(25)
  })

  it('without any witness nothing is said', () => {
    const blind = blindTo('payoffVMS', 3).map((sample) => ({ ...sample, takeupTurns: Number.NaN }))
    const { findings } = replayRun(blind, setupFor(8.1)).analysis
    expect(findings.map(({ kind }) => kind).filter((kind) => kind !== 'unreadable')).toEqual([])
  })

  it('a counter that stands is a slip of all that passes', () => {
    const stands = { fromM: 80, toM: 81.2, ratio: 1 }
    const run = simulatedRun({ seed: 4, odMm: 5, lengthM: 150, slips: [stands] })
    const slips = replayRun(run.record, setupFor(5)).analysis.findings.filter(({ kind }) => kind === 'slip')
    expect(slips).toHaveLength(1)
    expect(slips[0]!.text).toMatch(/^The counter stood while cable passed/)
    expect(Math.abs(slips[0]!.size! - 1.2)).toBeLessThanOrEqual(slips[0]!.sizeUncertainty!)
  })

  it('two slips in one run are two', () => {
    const two = [
      { fromM: 40, toM: 47, ratio: 0.02 },
      { fromM: 120, toM: 126, ratio: 0.03 },
    ]
    const run = simulatedRun({ seed: 5, odMm: 11, lengthM: 200, slips: two })
    const slips = replayRun(run.record, setupFor(11)).analysis.findings.filter(({ kind }) => kind === 'slip')
    expect(slips.map(({ fromM }) => Math.round(fromM! / 10))).toEqual([4, 12])
  })

  it('take-up turns that jump are the winding, not the counter', () => {
    // a layer drops: half a turn more from here on, while counter and payoff agree
    const odd = simulatedRun({ seed: 6, odMm: 8.1, lengthM: 150 }).record.map((sample) => ({
      ...sample,
      takeupTurns: sample.takeupTurns + (sample.countM > 75 ? 0.5 : 0),
    }))
    const { findings } = replayRun(odd, setupFor(8.1)).analysis
    const kinds = findings.map(({ kind }) => kind)
    expect(kinds).toContain('take-up')
    expect(kinds).not.toContain('slip')
    const found = findings.find(({ kind }) => kind === 'take-up')!
    expect(found.fromM!).toBeLessThanOrEqual(76)
    expect(found.toM!).toBeGreaterThanOrEqual(74)
  })
})
