import { describe, expect, test } from 'vitest'
import { findPeriodicDefect } from '../../src/lead/pitch.ts'
import { rollersOf } from '../../src/lead/rollers.ts'
import { column } from '../../src/lead/sweep.ts'
import { evenSweep, gated } from '../../src/lead/time-domain.ts'
import { cableOf, works } from './demo-works.ts'
import { randomFrom } from './random.ts'
import { evenHz, type SimulatedFault, simulatedLead } from './simulated-lead.ts'

const VELOCITY = 0.86
const LENGTH_M = 60
const F_HZ = evenHz(0.4e6, 1e9, 2_500)
const ROLLERS = rollersOf(works.site.rollerCircumferencesM, works.putups, cableOf('C110-50'))

/** Reflection of the line alone, as the judge gates it. */
function lineOf(faults: SimulatedFault[]): { fHz: Float64Array; sizes: Float64Array } {
  const sweep = simulatedLead(
    {
      ...{ lengthM: LENGTH_M, velocity: VELOCITY, zOhm: 50, a: 0.33, b: 0.001, zRefOhm: 50 },
      faults,
      connectorFarad: [0.1e-12, 0.1e-12],
    },
    F_HZ,
  )
  const even = evenSweep(F_HZ, column(sweep, 'S11'))!
  const s = (m: number) => (2 * m) / (VELOCITY * 299_792_458)
  const { values } = gated(even, s(0.5), s(LENGTH_M - 0.5), s(0.25))
  const fHz = F_HZ.slice(100, -100)
  return { fHz, sizes: fHz.map((_, k) => Math.hypot(values[2 * (k + 100)]!, values[2 * (k + 100) + 1]!)) }
}

const periodic = (pitchM: number, farad: number, roughness = 0): SimulatedFault[] => {
  const random = randomFrom(7)
  const marks = Array.from({ length: Math.floor(58 / pitchM) }, (_, i) => ({ atM: 1 + i * pitchM, farad }))
  const rough = Array.from({ length: roughness }, () => ({
    atM: 0.5 + 59 * random(),
    farad: (random() - 0.5) * 0.02e-12,
  }))
  return [...marks, ...rough]
}

const found = (faults: SimulatedFault[]) => {
  const { fHz, sizes } = lineOf(faults)
  return findPeriodicDefect(
    fHz,
    sizes,
    { velocity: VELOCITY, velocitySpreadPct: 0.5, lengthM: LENGTH_M },
    ROLLERS,
  )
}

/** Noise of a receiver, Rayleigh distributed in size, where there is nothing else. */
function noiseOnly(seed: number, points: number): Float64Array {
  const random = randomFrom(seed)
  return Float64Array.from({ length: points }, () => 0.01 * Math.sqrt(-2 * Math.log(random() + 1e-12)))
}

describe('periodic defects', () => {
  test('noise alone is no defect, in a hundred sweeps of 20 001 points', () => {
    const fHz = evenHz(0.3e6, 6e9, 20_001)
    const line = { velocity: 0.86, velocitySpreadPct: 0.5, lengthM: 60 }
    const alarms = Array.from({ length: 100 }, (_, i) =>
      findPeriodicDefect(fHz, noiseOnly(i + 1, 20_001), line, []),
    )
    expect(alarms.filter((defect) => defect !== null)).toEqual([])
  })

  test('a barrel of 1.979 m in cable of 0.86 c gives spikes every 65 MHz (worked example of the trade handbook)', () => {
    const defect = found(periodic(1.979, 0.02e-12))!
    expect(defect.pitchM).toBeCloseTo(1.979, 2)
    expect(defect.spikesMhz.every((f) => Math.abs(f / 65.14 - Math.round(f / 65.14)) < 0.05)).toBe(true)
    expect(defect.spikesMhz.length).toBeGreaterThan(10)
    // both are named: the roller list holds the barrel, and so do the put-ups
    expect(defect.matches).toContainEqual({ name: 'process_drum_barrel', marks: 1 })
    expect(defect.matches).toContainEqual({ name: 'barrel of PR-1250', marks: 1 })
    expect(defect.matches.some((m) => m.name === 'jacket_line_capstan' && m.marks === 1)).toBe(false)
  })

  test.each([
    ['RW-1_capstan', 1.571],
    ['RW-2_capstan', 1.885],
    ['jacket_line_capstan', 2.513],
    ['foam_line_capstan', works.site.rollerCircumferencesM.foam_line_capstan!],
    ['RW-1_wheel', 0.5],
  ])('%s is found by its circumference, in the roughness of a real line', (name, pitchM) => {
    const defect = found(periodic(pitchM, 0.02e-12, 150))!
    expect(Math.abs(defect.pitchM - pitchM)).toBeLessThan(defect.plusMinusM)
    expect(defect.matches).toContainEqual({ name, marks: 1 })
  })

  test('a roller with two marks a turn is named with its marks', () => {
    const defect = found(periodic(2.513 / 2, 0.02e-12))!
    expect(defect.matches).toContainEqual({ name: 'jacket_line_capstan', marks: 2 })
  })

  test('the first turn on a barrel takes between π·B and π·(B + OD)', () => {
    // WD-600 has a barrel of 260 mm, the cable 11 mm
    const barrel = ROLLERS.find((r) => r.name === 'barrel of WD-600')!
    expect(barrel.fromM).toBeCloseTo(Math.PI * 0.26, 12)
    expect(barrel.toM).toBeCloseTo(Math.PI * 0.271, 12)
  })

  test('a pitch that no roller has matches none', () => {
    const defect = found(periodic(1.11, 0.02e-12))!
    expect(defect.pitchM).toBeCloseTo(1.11, 2)
    expect(defect.matches.filter((m) => m.marks === 1)).toEqual([])
  })

  test('no defect in a smooth line, in one that is rough, and in one with a single dent', () => {
    expect(found([])).toBeNull()
    expect(found(periodic(1e9, 0, 300))).toBeNull()
    expect(found([{ atM: 20, farad: 0.1e-12 }])).toBeNull()
    expect(
      found([
        { atM: 20, farad: 0.1e-12 },
        { atM: 31, farad: 0.1e-12 },
      ]),
    ).toBeNull()
  })
})
