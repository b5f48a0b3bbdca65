import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { putupCapacityM } from '../../src/putup/capacity.ts'
import { compareFootage, reelFootage } from '../../src/putup/footage.ts'
import { putupValue } from './putup-value.ts'
import { anyDrum, anyOdMm, anyRules, drumOf, WORKS_RULES } from './sample-putups.ts'

const MM_PER_IN = 25.4
/** 16 CFR 500.19: 1 ft = 30.48 cm. */
const M_PER_FT = putupValue<object, number>('len.conv.foot-cm').expected / 100

describe('the footage formula', () => {
  // reel capacity method of NEMA WC 26, as restated in a published cable-handling guide
  it.each(['reel.wc26.30x12x18.0.405', 'reel.wc26.24x12x12.0.5'])('gives %s', (id) => {
    const { inputs, expected, tolerance } = putupValue<
      { A_in: number; B_in: number; C_in: number; D_in: number; X_in: number },
      { layers: number; turns: number; ft: number }
    >(id)
    const found = reelFootage({
      flangeMm: inputs.A_in * MM_PER_IN,
      barrelMm: inputs.B_in * MM_PER_IN,
      traverseMm: inputs.C_in * MM_PER_IN,
      odMm: inputs.D_in * MM_PER_IN,
      clearanceMm: inputs.X_in * MM_PER_IN,
    })!
    expect(found).toMatchObject({ layers: expected.layers, turns: expected.turns })
    expect(Math.abs(found.lengthM / M_PER_FT - expected.ft)).toBeLessThanOrEqual(tolerance)
  })

  it('has nothing to say on a coil, nor where no layer finds room', () => {
    expect(compareFootage(drumOf(null, 220, 60), 4.9, WORKS_RULES)).toBeNull()
    expect(compareFootage(drumOf(200, 300, 150), 4.9, WORKS_RULES)).toBeNull()
  })
})

describe('beside the layer sum', () => {
  it('its difference is the sum of its causes', () => {
    fc.assert(
      fc.property(anyDrum, anyOdMm, anyRules, (drum, odMm, rules) => {
        const found = compareFootage(drum, odMm, rules)
        if (found === null) return
        const explained = found.steps.reduce((sum, step) => sum + step.differenceM, 0)
        expect(found.differenceM).toBeCloseTo(found.lengthM - putupCapacityM(drum, { odMm }, rules), 6)
        expect(explained).toBeCloseTo(found.differenceM, 6)
      }),
    )
  })

  // by hand for flange 500, barrel 220, traverse 300, cable 8.1 mm: (500 − 50.8 − 220)/15.39 = 14.9, so 15 layers beside
  // 114.6/7.695 = 14.9, so 14 whole ones; 285/8.1 = 35.2, so 35 turns beside 0.95 · ⌊295.95/8.343⌋ = 33.25
  it('says in words and metres what the rounding up of a layer adds', () => {
    const found = compareFootage(drumOf(500, 220, 300), 8.1, WORKS_RULES)!
    const lengthM = (Math.PI * (220 + 15 * 0.95 * 8.1) * 15 * 35) / 1000
    expect(found.lengthM).toBeCloseTo(lengthM, 9)
    const [layers, turns] = found.steps
    expect(layers!.text).toContain('15 layers, rounded to the nearest, where the works counts 14 whole ones')
    expect(layers!.differenceM).toBeCloseTo((33.25 * Math.PI * (220 + 8.1 * (1 + 2 * 0.95 * 14))) / 1000, 6)
    expect(turns!.text).toContain('counts 33.25 of them')
    expect(found.text).not.toContain('nested')
    // 11 mm cable: 24 % above the works' rule, and 301.0 m where touching, nested turns hold 299
    expect(compareFootage(drumOf(500, 220, 300), 11, WORKS_RULES)!.text).toMatch(
      /301\.0 m.* It is more than the 29\d\.\d m that even a perfectly nested winding holds\.$/,
    )
    expect(found.text).toMatch(
      /^The footage formula says 553\.2 m, the layer sum 479\.9 m: \+73\.4 m, of it \+46\.3 m/,
    )
  })
})
