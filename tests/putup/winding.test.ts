import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { putupCapacityM } from '../../src/putup/capacity.ts'
import { stackedLength } from '../../src/putup/stacking.ts'
import {
  fullLayersM,
  lengthAtTurnsM,
  outerDiameterMm,
  turnDiameterMm,
  type Winding,
  windingAt,
  windingOf,
} from '../../src/putup/winding.ts'
import { checkValue } from '../data/check-value.ts'
import { anyDrum, anyOdMm, anyRules, drumOf, SQUARE_RULES, WORKS_RULES } from './sample-putups.ts'

const anyWinding: fc.Arbitrary<Winding> = fc
  .tuple(anyDrum, anyOdMm, anyRules)
  .map(([drum, od, rules]) => windingOf(drum, od, rules))
  .filter((winding) => winding !== null)

const near = (a: number, b: number) => Math.abs(a - b) <= 1e-9 * Math.max(1, Math.abs(a), Math.abs(b))

describe('published figures', () => {
  // geometry: sum of π·(B + d + 2di)·turns. The works' rule keeps half a diameter of the traverse, so it is added here.
  it('winds the published sum of layers', () => {
    const { inputs, expected, tolerance } = checkValue<
      { B: number; F: number; W: number; d: number },
      { turns: number; layers: number; length: number }
    >('reel.layersum.10x20x12')
    const { B, F, W, d } = inputs
    const winding = windingOf(drumOf(F, B, W + d / 2), d, SQUARE_RULES)!
    expect(winding).toMatchObject({ turns: expected.turns, layers: expected.layers })
    const length = fullLayersM(winding, expected.layers) * 1000
    expect(Math.abs(length - expected.length)).toBeLessThanOrEqual(tolerance)
    expect(outerDiameterMm(winding, expected.layers)).toBe(F)
  })

  // a published hand example takes the barrel's diameter and 3.14; on the cable's own diameters its figures come back
  it('gives the hand example back once its off-by-one-diameter error is made on purpose', () => {
    const { inputs, expected, tolerance } = checkValue<
      { B: number; d: number; W: number; pi: number },
      { wraps: number; layer1_in: number; layer2_in: number }
    >('reel.layer12')
    const { B, d, W, pi } = inputs
    const winding = windingOf(drumOf(B + 8 * d, B, W + d / 2), d, SQUARE_RULES)!
    expect(winding.turns).toBe(expected.wraps)
    const asPrinted = (layer: number) => pi * (turnDiameterMm(winding, layer) - d) * winding.turns
    expect(Math.abs(asPrinted(1) - expected.layer1_in)).toBeLessThanOrEqual(tolerance)
    expect(Math.abs(asPrinted(2) - expected.layer2_in)).toBeLessThanOrEqual(tolerance)
    // the centre-line figure is 20·π·2.25 = 141.37, an eighth more
    expect(fullLayersM(winding, 1) * 1000).toBeCloseTo(141.37, 2)
  })
})

describe('a wound length', () => {
  it('comes back from its turns', () => {
    fc.assert(
      fc.property(anyWinding, fc.double({ min: 0, max: 20_000, noNaN: true }), (winding, lengthM) => {
        const { turns } = windingAt(winding, lengthM)
        expect(near(lengthAtTurnsM(winding, turns), lengthM)).toBe(true)
      }),
    )
  })

  it('of so many full layers has that many layers and their outer diameter', () => {
    fc.assert(
      fc.property(anyWinding, fc.integer({ min: 1, max: 200 }), (winding, layers) => {
        const state = windingAt(winding, fullLayersM(winding, layers))
        expect(state.layer).toBe(layers)
        expect(state.outerDiameterMm).toBe(outerDiameterMm(winding, layers))
        expect(near(state.turns, layers * winding.turns)).toBe(true)
        expect(state.overfull).toBe(layers > winding.layers)
        // a hair more begins the next
        expect(windingAt(winding, fullLayersM(winding, layers) * 1.000001).layer).toBe(layers + 1)
      }),
    )
  })

  it('agrees with laying the turns one by one', () => {
    fc.assert(
      fc.property(anyWinding, fc.integer({ min: 1, max: 3000 }), (winding, turns) => {
        // each turn laid where the one before ended; one that crosses into the next layer is cut in two
        let lengthMm = 0
        let left = winding.turns
        let layer = 1
        for (let turn = 0; turn < turns; turn++) {
          let share = 1
          while (share > left) {
            lengthMm += left * Math.PI * turnDiameterMm(winding, layer)
            share -= left
            left = winding.turns
            layer++
          }
          lengthMm += share * Math.PI * turnDiameterMm(winding, layer)
          left -= share
        }
        expect(Math.abs(windingAt(winding, lengthMm / 1000).turns - turns)).toBeLessThan(1e-6)
      }),
    )
  })

  it('grows in turns and never shrinks in diameter', () => {
    const length = fc.double({ min: 0, max: 5000, noNaN: true })
    fc.assert(
      fc.property(anyWinding, length, length, (winding, a, b) => {
        const [less, more] = [windingAt(winding, Math.min(a, b)), windingAt(winding, Math.max(a, b))]
        expect(more.turns).toBeGreaterThanOrEqual(less.turns - 1e-9)
        expect(more.outerDiameterMm).toBeGreaterThanOrEqual(less.outerDiameterMm)
      }),
    )
  })

  it('begins on the bare barrel', () => {
    const winding = windingOf(drumOf(500, 220, 300), 8.1, WORKS_RULES)!
    expect(windingAt(winding, 0)).toEqual({
      layer: 0,
      turns: 0,
      turnsInLayer: 0,
      turnDiameterMm: 228.1,
      outerDiameterMm: 220,
      overfull: false,
    })
  })
})

describe('capacity', () => {
  it('is the length of the full layers', () => {
    fc.assert(
      fc.property(anyDrum, anyOdMm, anyRules, (drum, odMm, rules) => {
        const winding = windingOf(drum, odMm, rules)
        const capacityM = putupCapacityM(drum, { odMm }, rules)
        expect(near(capacityM, winding === null ? 0 : fullLayersM(winding, winding.layers))).toBe(true)
      }),
    )
  })

  it('never falls when a flange grows', () => {
    fc.assert(
      fc.property(
        anyDrum,
        anyOdMm,
        anyRules,
        fc.integer({ min: 1, max: 3000 }),
        (drum, odMm, rules, tenths) => {
          const larger = { ...drum, flangeMm: drum.flangeMm! + tenths / 10 }
          expect(putupCapacityM(larger, { odMm }, rules)).toBeGreaterThanOrEqual(
            putupCapacityM(drum, { odMm }, rules),
          )
        },
      ),
    )
  })

  it('never falls when a traverse grows', () => {
    fc.assert(
      fc.property(
        anyDrum,
        anyOdMm,
        anyRules,
        fc.integer({ min: 1, max: 3000 }),
        (drum, odMm, rules, tenths) => {
          const wider = { ...drum, traverseMm: drum.traverseMm + tenths / 10 }
          expect(putupCapacityM(wider, { odMm }, rules)).toBeGreaterThanOrEqual(
            putupCapacityM(drum, { odMm }, rules),
          )
        },
      ),
    )
  })

  it('never falls when a barrel shrinks by whole layers', () => {
    fc.assert(
      fc.property(anyDrum, anyOdMm, anyRules, fc.integer({ min: 1, max: 9 }), (drum, odMm, rules, layers) => {
        // a hair more than the layers, so that no double decides whether they fit
        const barrelMm = drum.barrelMm - 2 * layers * rules.layerFactor * odMm * (1 + 1e-9)
        fc.pre(barrelMm > 0)
        const before = putupCapacityM(drum, { odMm }, rules)
        expect(putupCapacityM({ ...drum, barrelMm }, { odMm }, rules)).toBeGreaterThanOrEqual(
          before * (1 - 1e-6),
        )
      }),
    )
  })

  // layers are whole: a barrel smaller by less than a layer holds as many layers, each on a smaller diameter
  it('may fall by less than a layer when a barrel shrinks by less than one', () => {
    const [odMm, rules] = [10, SQUARE_RULES]
    expect(putupCapacityM(drumOf(300, 95, 200), { odMm }, rules)).toBeLessThan(
      putupCapacityM(drumOf(300, 100, 200), { odMm }, rules),
    )
  })
})

it('answers at once for a hair on the largest drum that a folder can hold', () => {
  const [putup, odMm] = [drumOf(999_999_999, 1, 999_999_999), 0.000_001]
  const winding = windingOf(putup, odMm, WORKS_RULES)!
  expect(near(putupCapacityM(putup, { odMm }, WORKS_RULES), fullLayersM(winding, winding.layers))).toBe(true)
  expect(windingAt(winding, 100_000).layer).toBeGreaterThan(0)
  expect(stackedLength(putup, odMm, WORKS_RULES, 'nested').layers).toBeGreaterThan(1e12)
})

describe('no winding', () => {
  it.each([
    ['a barrel as wide as the flange', drumOf(300, 300, 200)],
    ['a barrel wider than the flange', drumOf(300, 400, 200)],
    ['a traverse narrower than the cable', drumOf(300, 100, 6)],
    ['no room for one layer above the clearance', drumOf(300, 240, 200)],
  ])('on %s', (_, putup) => {
    expect(windingOf(putup, 8.1, WORKS_RULES)).toBeNull()
    expect(putupCapacityM(putup, { odMm: 8.1 }, WORKS_RULES)).toBe(0)
  })
})
