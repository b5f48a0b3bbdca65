import { describe, expect, test } from 'vitest'
import { findBumps } from '../../src/lead/bumps.ts'
import { column } from '../../src/lead/sweep.ts'
import { evenSweep, gated, impulseResponse } from '../../src/lead/time-domain.ts'
import { randomFrom } from './random.ts'
import { evenHz, type SimulatedLead, simulatedLead } from './simulated-lead.ts'

/** Finds with the line as it is. */
function found(lead: SimulatedLead, fHz: Float64Array) {
  const sweep = evenSweep(fHz, column(simulatedLead(lead, fHz), 'S11'))!
  return findBumps(sweep, {
    velocity: lead.velocity,
    lengthM: lead.lengthM,
    alphaNpM: (f) => (lead.a * Math.sqrt(f / 1e6) + (lead.b * f) / 1e6) / 868.6,
  }).bumps
}

/**
 * A lead with one fault between its connectors, whose reflection comes back above the finder's floor of 50 dB; null where
 * the drawn one would not, or where the sweep is too coarse for the length.
 */
function randomLead(seed: number): { lead: SimulatedLead; fHz: Float64Array; atM: number } | null {
  const random = randomFrom(seed)
  const between = (low: number, high: number) => low + (high - low) * random()
  const topHz = between(1, 6) * 1e9
  const velocity = between(0.66, 0.88)
  const lengthM = between(0.6, 15)
  const [a, b] = [between(0.3, 1.3), 0.002]
  const apartM = (velocity * 3e8 * 1.95) / topHz
  const atM = between(apartM, lengthM - apartM)
  const stepHz = topHz / 401
  const middleMhz = topHz / 2e6
  const back = Math.exp((-2 * atM * (a * Math.sqrt(middleMhz) + b * middleMhz)) / 868.6)
  const gamma = between(0.01, 0.06) / back
  if (lengthM < 2 * apartM || 2 * lengthM * stepHz > 0.7 * velocity * 3e8 || gamma > 0.3) return null
  // shunt C across 50 ohm reflects ωC·50/2 for small C
  const farad = ((random() < 0.5 ? -1 : 1) * gamma) / (2 * Math.PI * middleMhz * 1e6 * 25)
  const lead: SimulatedLead = {
    ...{ lengthM, velocity, zOhm: between(48.5, 51.5), a, b, zRefOhm: 50 },
    faults: [{ atM, farad }],
    connectorFarad: [between(-0.03, 0.06) * 1e-12, between(-0.03, 0.06) * 1e-12],
  }
  return { lead, fHz: evenHz(stepHz, topHz, 401), atM }
}

describe('bumps in the time domain', () => {
  const LEADS = 1_000

  test(`a simulated bump is placed within the stated resolution in ${LEADS} random leads`, () => {
    const misses: unknown[] = []
    let simulated = 0
    for (let seed = 1; simulated < LEADS; seed++) {
      const drawn = randomLead(seed)
      if (!drawn) continue
      simulated++
      const bumps = found(drawn.lead, drawn.fHz)
      if (!bumps.some((bump) => Math.abs(bump.atM - drawn.atM) <= bump.resolutionM))
        misses.push({ seed, ...drawn, bumps })
    }
    expect(misses).toEqual([])
  })

  const quiet: SimulatedLead = {
    ...{ lengthM: 5, velocity: 0.83, zOhm: 50, a: 0.68, b: 0.0014, zRefOhm: 50 },
    faults: [],
    connectorFarad: [0, 0],
  }

  test('a lead without faults has no bump', () => {
    expect(found(quiet, evenHz(10e6, 6e9, 600))).toEqual([])
  })

  test('both connectors and a fault are told apart, and the far one is as large as the near one at its place', () => {
    const bumps = found(
      { ...quiet, faults: [{ atM: 1.2, farad: 0.2e-12 }], connectorFarad: [0.1e-12, 0.1e-12] },
      evenHz(10e6, 6e9, 600),
    )
    expect(bumps.map((bump) => bump.atM.toFixed(2))).toEqual(['0.00', '1.20', '5.00'])
    expect(bumps[2]!.gamma).toBeLessThan(bumps[0]!.gamma * 0.9)
    // its reflection rises with frequency, so its mean over the band is not quite that of a flat one
    expect(Math.abs(bumps[2]!.gammaAtPlace / bumps[0]!.gammaAtPlace - 1)).toBeLessThan(0.1)
  })

  test('two bumps further apart than the resolution stand as two', () => {
    const fHz = evenHz(10e6, 6e9, 600)
    const resolutionM = 2 * found({ ...quiet, faults: [{ atM: 2, farad: 0.1e-12 }] }, fHz)[0]!.resolutionM
    const pair = (apartM: number) =>
      found({ ...quiet, faults: [2, 2 + apartM].map((atM) => ({ atM, farad: 0.1e-12 })) }, fHz).length
    expect(pair(resolutionM * 1.6)).toBe(2)
  })
})

describe('time gate', () => {
  const fHz = evenHz(10e6, 6e9, 600)
  const lead: SimulatedLead = {
    ...{ lengthM: 5, velocity: 0.83, zOhm: 50, a: 0, b: 0, zRefOhm: 50 },
    faults: [{ atM: 2.5, farad: 0.05e-12 }],
    connectorFarad: [0.3e-12, 0.3e-12],
  }
  const metres = (m: number) => (2 * m) / (0.83 * 299_792_458)

  test('keeps what is between and takes away what is not', () => {
    const sweep = evenSweep(fHz, column(simulatedLead(lead, fHz), 'S11'))!
    const alone = evenSweep(fHz, column(simulatedLead({ ...lead, connectorFarad: [0, 0] }, fHz), 'S11'))!
    const kept = gated(sweep, metres(1), metres(4), metres(0.3))
    const size = (values: Float64Array, k: number) => Math.hypot(values[2 * k]!, values[2 * k + 1]!)
    for (let k = 60; k < 540; k++)
      expect(Math.abs(size(kept.values, k) - size(alone.values, k)) / size(alone.values, k)).toBeLessThan(
        0.12,
      )
  })

  test('open over everything it changes nothing', () => {
    const sweep = evenSweep(fHz, column(simulatedLead(lead, fHz), 'S11'))!
    const { aliasS } = impulseResponse(sweep)
    const kept = gated(sweep, -aliasS, 2 * aliasS, aliasS / 1e6)
    kept.values.forEach((value, i) => {
      expect(value).toBeCloseTo(sweep.values[i]!, 9)
    })
  })
})

describe('sweeps that say nothing in time', () => {
  test('uneven steps or too few points', () => {
    const log = Float64Array.from({ length: 50 }, (_, i) => 1e6 * 1.1 ** i)
    expect(evenSweep(log, new Float64Array(100))).toBeNull()
    expect(evenSweep(evenHz(1e6, 1e7, 10), new Float64Array(20))).toBeNull()
  })
})
