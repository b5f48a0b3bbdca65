import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { NESTED_LAYER_FACTOR, spaceFactor, stackedLength } from '../../src/putup/stacking.ts'
import { checkValue } from '../data/check-value.ts'
import { putupValue } from './putup-value.ts'
import { anyDrum, anyOdMm, anyRules, drumOf, SQUARE_RULES } from './sample-putups.ts'

describe('circles in a cross-section', () => {
  it.each([
    // geometry: square and hexagonal grids, layer pitch over diameter where turns nest
    ['reel.pack.square', spaceFactor(1, 1)],
    ['reel.pack.hex', spaceFactor(1, NESTED_LAYER_FACTOR)],
    ['reel.pack.pitch', NESTED_LAYER_FACTOR],
  ])('%s', (id, found) => {
    const { expected, tolerance } = putupValue<object, number>(id)
    expect(Math.abs(found - expected)).toBeLessThanOrEqual(tolerance)
  })
})

describe('a winding without flaw', () => {
  it('square stacked is the published sum of layers', () => {
    const { inputs, expected, tolerance } = checkValue<
      { B: number; F: number; W: number; d: number },
      { turns: number; layers: number; length: number }
    >('reel.layersum.10x20x12')
    const found = stackedLength(drumOf(inputs.F, inputs.B, inputs.W), inputs.d, SQUARE_RULES, 'square')
    expect(found).toMatchObject({ turns: expected.turns, layers: expected.layers })
    expect(Math.abs(found.lengthM * 1000 - expected.length)).toBeLessThanOrEqual(tolerance)
  })

  // by hand: build 30 takes 1 + ⌊20/8.66⌋ = 3 layers of 10 mm; 45 mm take 4, 4, 4 turns, 40 mm 4, 3, 4
  it.each([
    [45, [4, 4, 4]],
    [40, [4, 3, 4]],
  ])('nested on %i mm lays %j turns', (traverse, turns) => {
    const found = stackedLength(drumOf(160, 100, traverse), 10, SQUARE_RULES, 'nested')
    const byHand = turns.reduce((sum, n, i) => sum + n * Math.PI * (110 + 20 * NESTED_LAYER_FACTOR * i), 0)
    expect(found.layers).toBe(3)
    expect(found.lengthM * 1000).toBeCloseTo(byHand, 6)
  })

  it('fills no more of the window than its grid', () => {
    fc.assert(
      fc.property(
        anyDrum,
        anyOdMm,
        anyRules,
        fc.constantFrom('square' as const, 'nested' as const),
        (drum, odMm, rules, how) => {
          const { lengthM, layers } = stackedLength(drum, odMm, rules, how)
          // a lone turn has no groove to lie in
          const factor = how === 'nested' && drum.traverseMm >= 1.5 * odMm ? NESTED_LAYER_FACTOR : 1
          const outer = drum.barrelMm + 2 * odMm * (1 + (Math.max(1, layers) - 1) * factor)
          const window = (Math.PI / 4) * (outer ** 2 - drum.barrelMm ** 2) * drum.traverseMm
          const filled = (Math.PI / 4) * odMm ** 2 * lengthM * 1000
          expect(filled).toBeLessThanOrEqual(window * spaceFactor(1, factor) * (1 + 1e-9))
        },
      ),
    )
  })
})
