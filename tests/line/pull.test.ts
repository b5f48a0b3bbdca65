import { describe, expect, it } from 'vitest'
import { rampDistanceM } from '../../src/line/motion-profile.ts'
import {
  brakeHeatW,
  brakeTorqueNm,
  drumRpm,
  heaviest,
  hollowInertiaKgM2,
  type PayoffState,
  payoffTorqueNm,
} from '../../src/line/payoff-drum.ts'
import {
  CIRCULAR_MIL_COPPER_N_PER_MM2,
  carryingCopperMm2,
  conductorPullN,
  ICEA_ALUMINIUM_N_PER_MM2,
  ICEA_COPPER_N_PER_MM2,
  MM2_PER_CIRCULAR_MIL,
  N_PER_LBF,
  relaxesByM,
  SIDEWALL_N_PER_M,
  strainRatio,
} from '../../src/line/permitted-pull.ts'
import { dancerCableM, dancerForceN, taperedTensionN } from '../../src/line/winding-tension.ts'
import { lineValue } from './line-value.ts'

const MM2_PER_IN2 = 25.4 * 25.4

describe('permitted pull, by a pulling-tension guide after the ICEA study', () => {
  it.each(['reel.pull.4AWG', 'reel.pull.2AWG', 'reel.pull.4-0', 'reel.pull.500kcmil'])(
    '%s by section',
    (id) => {
      const { inputs, expected, tolerance } = lineValue<
        { area_in2: number },
        { cu_lb: number; al_lb: number }
      >(id)
      const mm2 = inputs.area_in2 * MM2_PER_IN2
      const copperLb = conductorPullN(mm2, ICEA_COPPER_N_PER_MM2) / N_PER_LBF
      const aluminiumLb = conductorPullN(mm2, ICEA_ALUMINIUM_N_PER_MM2) / N_PER_LBF
      expect(Math.abs(copperLb - expected.cu_lb)).toBeLessThanOrEqual(tolerance)
      expect(Math.abs(aluminiumLb - expected.al_lb)).toBeLessThanOrEqual(tolerance)
    },
  )

  it('by circular mil, 2 % above the same guide by section', () => {
    const { inputs, expected } = lineValue<{ n: number; cm: number }, number>('reel.pull.example')
    const pullLb =
      conductorPullN(inputs.n * inputs.cm * MM2_PER_CIRCULAR_MIL, CIRCULAR_MIL_COPPER_N_PER_MM2) / N_PER_LBF
    expect(pullLb).toBeCloseTo(expected, 6)
    expect(CIRCULAR_MIL_COPPER_N_PER_MM2 / ICEA_COPPER_N_PER_MM2).toBeCloseTo(1.0186, 4)
  })

  it('by side wall', () => {
    const { inputs, expected } = lineValue<{ radius_ft: number }, number>('reel.pull.sidewall')
    expect((SIDEWALL_N_PER_M * inputs.radius_ft * 0.3048) / N_PER_LBF).toBeCloseTo(expected, 6)
  })
})

describe('what carries the pull', () => {
  it('is never less than the inner conductor, and the stiffness where that gives more', () => {
    expect(carryingCopperMm2(3, null, 117_000)).toBe(3)
    expect(carryingCopperMm2(3, 117 * 2, 117_000)).toBe(3)
    expect(carryingCopperMm2(3, 117 * 5, 117_000)).toBeCloseTo(5, 9)
  })

  // trade handbook: 0.005 % for big types, 0.03 % for the 2.8 mm type; here 65 N on 1257 kN and 8 N on 27.8 kN
  it('stretches as the handbook says, and is shorter at rest', () => {
    expect(100 * strainRatio(65, 1257)!).toBeCloseTo(0.005, 3)
    expect(100 * strainRatio(8, 27.8)!).toBeCloseTo(0.03, 2)
    expect(strainRatio(8, null)).toBeNull()
    // at rest 100 m, pulled 100·(1 + ε)
    expect(relaxesByM(100 * 1.001, 0.001)).toBeCloseTo(0.1, 12)
  })
})

describe('drum and brake', () => {
  // unwind torque formula, pffc-online
  it('asks for T·r + J·α', () => {
    const { inputs, expected } = lineValue<
      { T: number; r: number; J: number; a: number },
      { alpha: number; torque: number }
    >('motion.payoff.torque')
    const state = { lengthM: 0, radiusM: inputs.r, inertiaKgM2: inputs.J, pulledKg: inputs.J / inputs.r ** 2 }
    expect(payoffTorqueNm(state, inputs.T, inputs.a)).toBeCloseTo(expected.torque, 9)
    expect(inputs.a / inputs.r).toBeCloseTo(expected.alpha, 9)
  })

  // trade handbook: 600 kg, r 0.5 m, 0.5 m/s² → about 150 to 200 N
  it.each([0.2, 0.3, 0.45])('pulls 150 to 200 N at 600 kg with a bore of %d m', (boreM) => {
    const pulledN = (hollowInertiaKgM2(600, 1, boreM) * 0.5) / 0.5 ** 2
    expect(pulledN).toBeGreaterThan(145)
    expect(pulledN).toBeLessThan(205)
  })

  // brake sizing note, northnet.org
  it('sizes a brake', () => {
    const torque = lineValue<{ T_lb: number; D_in: number }, { lb_in: number }>('motion.brake.torque')
    const inch = 0.0254
    expect(brakeTorqueNm(torque.inputs.T_lb * N_PER_LBF, torque.inputs.D_in * inch)).toBeCloseTo(
      torque.expected.lb_in * N_PER_LBF * inch,
      9,
    )
    const heat = lineValue<{ T_lb: number; fpm: number }, { exact: number }>('motion.brake.heat')
    const fpm = 0.3048 / 60
    const heatW = brakeHeatW(heat.inputs.T_lb * N_PER_LBF, heat.inputs.fpm * fpm)
    expect(Math.abs(heatW - heat.expected.exact)).toBeLessThanOrEqual(heat.tolerance)
    const rpm = lineValue<{ fpm: number; D_in: number }, { exact: number }>('motion.rpm')
    const turns = drumRpm(rpm.inputs.fpm * fpm, rpm.inputs.D_in * inch)
    expect(Math.abs(turns - rpm.expected.exact)).toBeLessThanOrEqual(rpm.tolerance)
  })

  it('is heaviest to pull at one end of its emptying', () => {
    const state = (pulledKg: number): PayoffState => ({ lengthM: 0, radiusM: 1, inertiaKgM2: 1, pulledKg })
    expect(heaviest([state(3), state(5), state(4)])?.pulledKg).toBe(5)
    expect(heaviest([])).toBeNull()
  })
})

describe('dancer and taper', () => {
  // kinematics and pulley ratio
  it('stores two strokes of cable on one moving pulley', () => {
    const { inputs, expected } = lineValue<
      { dv: number; a: number; passes: number },
      { cable_m: number; stroke_m: number }
    >('motion.dancer.storage')
    expect(dancerCableM(expected.stroke_m, inputs.passes)).toBeCloseTo(expected.cable_m, 9)
    expect(rampDistanceM(0, inputs.dv, { accelMPerS2: inputs.a, jerkMPerS3: null })).toBeCloseTo(
      expected.cable_m,
      9,
    )
  })

  // trade handbook: force F on n falls gives T = F/n
  it('needs n times the tension', () => {
    expect(dancerForceN(20, 4)).toBe(80)
  })

  it('tapers from the set tension on the barrel towards (1 − k) of it', () => {
    expect(taperedTensionN(100, 0.2, 200, 200)).toBe(100)
    expect(taperedTensionN(100, 0.2, 200, 400)).toBeCloseTo(90, 12)
    expect(taperedTensionN(100, 0.2, 200, 1e9)).toBeCloseTo(80, 5)
  })
})
