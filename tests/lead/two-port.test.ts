import { describe, expect, test } from 'vitest'
import { declaredLine, smoothLine } from '../../src/cable/line-constants.ts'
import type { Matrix } from '../../src/lead/matrix.ts'
import type { Sweep } from '../../src/lead/sweep.ts'
import {
  cascaded,
  deembeddedFirst,
  deembeddedLast,
  lineSweep,
  matrixAt,
  renormalisedSweep,
  sweepOf,
} from '../../src/lead/sweep-algebra.ts'
import {
  abcdOfScattering,
  scatteringOfAbcd,
  scatteringOfAdmittance,
  scatteringOfImpedance,
} from '../../src/lead/two-port.ts'
import { published } from '../cable/published.ts'
import { randomFrom } from './random.ts'

/** Line of rf.line.*: d 1 mm, D 3 mm, ε 2.29, 1.68e-8 Ω·m, tan δ 4e-4, 200 mm between 50 ohm ports, by an independent circuit simulator. */
const SIMULATED = { innerMm: 1, outerMm: 3, epsR: 2.29, tanDelta: 4e-4 }
const METAL = { resistivityOhmMm2M: 0.0168, densityKgDm3: 8.9 }

describe('lossy line against an independent circuit simulator', () => {
  const at = (fHz: number): Matrix =>
    matrixAt(
      lineSweep(new Float64Array([fHz]), 0.2, 50, (f) => smoothLine({ fHz: f, ...SIMULATED, metal: METAL })),
      0,
    )

  test('rf.line.s21.40MHz', () => {
    const { inputs, expected, tolerance } = published<{ f_hz: number }, number>('rf.line.s21.40MHz')
    const s21 = at(inputs.f_hz)[2]
    expect(Math.abs(Math.hypot(s21.re, s21.im) - expected)).toBeLessThanOrEqual(tolerance)
  })

  test.each(['rf.line.s11.40MHz', 'rf.line.s11.100MHz'])('%s', (id) => {
    const { inputs, expected, tolerance } = published<{ f_hz: number }, [number, number]>(id)
    const s11 = at(inputs.f_hz)[0]
    expect(Math.abs(s11.re - expected[0])).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(s11.im - expected[1])).toBeLessThanOrEqual(tolerance)
  })
})

const GRID = Float64Array.from({ length: 60 }, (_, i) => 1e6 * 1.16 ** i).filter((f) => f < 6e9)

const line = (lengthM: number, zOhm = 49.96): Sweep =>
  lineSweep(GRID, lengthM, 50, (fHz) =>
    declaredLine({
      fHz,
      conductorDbM: 0.0068382 * Math.sqrt(fHz / 1e6),
      dielectricDbM: 0.000014277 * (fHz / 1e6),
      zOhm,
      velocity: 0.83,
      dcLoopOhmM: 0.024,
    }),
  )

const furthest = (a: Sweep, b: Sweep): number =>
  a.s.reduce((most, x, i) => Math.max(most, Math.abs(x - b.s[i]!)), 0)

/** A mismatched two-port with loss and no symmetry. */
function anyTwoPort(random: () => number): Matrix {
  const value = (size: number) => ({ re: size * (2 * random() - 1), im: size * (2 * random() - 1) })
  return [value(0.5), value(0.6), value(0.6), value(0.5)]
}

const anySweep = (seed: number): Sweep => {
  const random = randomFrom(seed)
  return sweepOf(GRID, [50, 50], () => anyTwoPort(random))
}

describe('two-ports', () => {
  test.each([
    [1, 2, 50],
    [0.15, 12.7, 75],
    [3, 0.001, 42],
  ])('a line of %d m after one of %d m is one line, to 1e-12', (a, b, zOhm) => {
    expect(furthest(cascaded(line(a, zOhm), line(b, zOhm)), line(a + b, zOhm))).toBeLessThan(1e-12)
  })

  test.each([1, 2, 3, 4, 5])('taking off what was put on leaves the lead, seed %d', (seed) => {
    const lead = anySweep(seed)
    const adapter = line(0.05, 60)
    expect(furthest(deembeddedFirst(cascaded(adapter, lead), adapter), lead)).toBeLessThan(1e-12)
    expect(furthest(deembeddedLast(cascaded(lead, adapter), adapter), lead)).toBeLessThan(1e-12)
  })

  test('an adapter taken off at the wrong end does not', () => {
    const whole = cascaded(line(0.05, 75), line(1))
    expect(furthest(deembeddedLast(whole, line(0.05, 75)), line(1))).toBeGreaterThan(1e-3)
  })

  test('another reference impedance and back changes nothing, and 50 to 75 ohm is what ABCD says', () => {
    const lead = anySweep(9)
    const at75 = renormalisedSweep(lead, [75, 60])
    expect(furthest(renormalisedSweep(at75, [50, 50]), lead)).toBeLessThan(1e-12)
    for (let i = 0; i < GRID.length; i++) {
      const direct = scatteringOfAbcd(abcdOfScattering(matrixAt(lead, i), 50, 50), 75, 60)
      direct.forEach((value, k) => {
        expect(value.re).toBeCloseTo(matrixAt(at75, i)[k]!.re, 11)
        expect(value.im).toBeCloseTo(matrixAt(at75, i)[k]!.im, 11)
      })
    }
  })

  test('a 75 ohm resistor at a 50 ohm port reflects 0.2, at a 75 ohm port nothing', () => {
    const lead: Sweep = {
      ports: 1,
      fHz: new Float64Array([1e6]),
      s: new Float64Array([0.2, 0]),
      zRefOhm: [50],
    }
    expect(renormalisedSweep(lead, [75]).s[0]).toBeCloseTo(0, 15)
  })

  test('a series resistor of 50 ohm: S11 1/3, S21 2/3, from impedance, admittance and ABCD (textbook)', () => {
    // series 50 ohm: Y = [[.02, -.02], [-.02, .02]], ABCD = [1 50; 0 1]; Z does not exist
    const real = (re: number) => ({ re, im: 0 })
    const y: Matrix = [real(0.02), real(-0.02), real(-0.02), real(0.02)]
    const fromY = scatteringOfAdmittance(y, 50, 50)
    const fromAbcd = scatteringOfAbcd({ a: real(1), b: real(50), c: real(0), d: real(1) }, 50, 50)
    for (const s of [fromY, fromAbcd]) {
      expect(s[0].re).toBeCloseTo(1 / 3, 14)
      expect(s[2].re).toBeCloseTo(2 / 3, 14)
    }
    // shunt 50 ohm: Z = 50 everywhere; S11 −1/3, S21 2/3
    const fromZ = scatteringOfImpedance([real(50), real(50), real(50), real(50)], 50, 50)
    expect(fromZ[0].re).toBeCloseTo(-1 / 3, 14)
    expect(fromZ[2].re).toBeCloseTo(2 / 3, 14)
  })

  test('unequal ports keep power: a lossless line of 60 ohm between 50 and 75 ohm', () => {
    const lossless = lineSweep(GRID, 1, 50, (fHz) =>
      declaredLine({ fHz, conductorDbM: 0, dielectricDbM: 0, zOhm: 60, velocity: 0.8, dcLoopOhmM: 0 }),
    )
    const between = renormalisedSweep(lossless, [50, 75])
    for (let i = 0; i < GRID.length; i++) {
      const [s11, , s21] = matrixAt(between, i)
      expect(s11.re ** 2 + s11.im ** 2 + s21.re ** 2 + s21.im ** 2).toBeCloseTo(1, 12)
    }
  })
})
