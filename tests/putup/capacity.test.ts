import { describe, expect, it } from 'vitest'
import { cableType } from '../../bench/generate/cable-types.ts'
import { PUTUPS } from '../../bench/generate/hall.ts'
import { putupCapacityM } from '../../src/putup/capacity.ts'
import type { Putup } from '../../src/putup/putup.ts'
import type { PutupRules } from '../../src/putup/putup-rules.ts'
import { checkValue } from '../data/check-value.ts'

/** Square stacking, nothing lost: what the published sums of layers assume. */
const square: PutupRules = {
  pitchFactor: 1,
  layerFactor: 1,
  fillFactor: 1,
  clearanceMinMm: 0,
  clearanceOdFactor: 0,
  coilBuildMaxMm: 60,
  coilLayersMax: 6,
}

const drum = PUTUPS.find((p) => p.kind === 'drum')!
const reel = (flangeMm: number, barrelMm: number, traverseMm: number): Putup => ({
  ...drum,
  flangeMm,
  barrelMm,
  traverseMm,
})
const cable = (odMm: number) => ({ ...cableType(8, 50), odMm })

describe('square-stacked layers, in the unit of the source', () => {
  // sum of π·(B + d + 2di)·turns; the works' rule takes half a turn off the traverse, so half a diameter is added
  it('adds up to the published length of wire', () => {
    const { inputs, expected, tolerance } = checkValue<
      { B: number; F: number; W: number; d: number },
      { length: number }
    >('reel.layersum.10x20x12')
    const { B, F, W, d } = inputs
    const length = putupCapacityM(reel(F, B, W + d / 2), cable(d), square) * 1000
    expect(Math.abs(length - expected.length)).toBeLessThanOrEqual(tolerance)
  })

  // published hand example: 20 wraps; its centre-line form is 20·π·(2 + 0.25)
  it('takes a turn at the middle of the cable, not at the barrel', () => {
    const { inputs, expected } = checkValue<
      { B: number; d: number; W: number },
      { wraps: number; layer1_in: number }
    >('reel.layer12')
    const { B, d, W } = inputs
    const layer1 = putupCapacityM(reel(B + 2 * d, B, W + d / 2), cable(d), square) * 1000
    expect(layer1).toBeCloseTo(expected.wraps * Math.PI * (B + d), 6)
    expect(layer1).toBeGreaterThan(expected.layer1_in)
  })
})

it('holds nothing where the build is thinner than one layer', () => {
  expect(putupCapacityM(reel(120, 100, 200), cable(12), square)).toBe(0)
})
