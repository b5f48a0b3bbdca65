import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  attenuationDbPer100m,
  attenuationOf,
  fitAttenuation,
  fitUncertaintyDbPer100m,
} from '../../src/cable/attenuation-fit.ts'
import type { AttenuationPoint } from '../../src/cable/attenuation-point.ts'
import { capacitancePfM, permittivityOf } from '../../src/cable/coax-geometry.ts'
import { metalNamed, skinDepthMm, surfaceResistanceOhm } from '../../src/cable/conductor-metal.ts'
import { constructionFigures } from '../../src/cable/construction.ts'
import { dielectricLossDbM, lossFromConstruction } from '../../src/cable/loss-from-construction.ts'
import { HOTTEST_C, powerLimit } from '../../src/cable/power-limit.ts'
import { attenuationFactor } from '../../src/cable/temperature.ts'
import { cableOf, works } from '../lead/demo-works.ts'
import { published } from './published.ts'

const point = (fMhz: number, attDbPer100m: number, powerMaxW: number | null = null): AttenuationPoint => ({
  ...{ cable: 'X', fMhz, attDbPer100m, powerMaxW },
})

describe('a cable from its construction', () => {
  // the demo types were computed from their dimensions by somebody else; where the two models differ, the README of the room says how
  test.each(works.cables.map((c) => c.cable))('%s comes out as declared', (id) => {
    const cable = cableOf(id)
    const figures = constructionFigures(cable)
    expect(figures.zOhm).toBeCloseTo(cable.z0CalcOhm, 1)
    expect(figures.velocityRatio).toBeCloseTo(cable.velocityRatio, 3)
    expect(figures.delayNsM / cable.delayNsM).toBeCloseTo(1, 3)
    expect(figures.capPfM / cable.capPfM).toBeCloseTo(1, 2)
    expect(figures.cutoffGhz / cable.cutoffGhz).toBeCloseTo(1, 3)
    expect(Math.abs(figures.braidAngleDeg - cable.braidAngleDeg)).toBeLessThan(0.5)
    expect(Math.abs(figures.braidCoveragePct - cable.braidCoveragePct)).toBeLessThan(1)
    expect(figures.rInnerOhmKm / cable.rInnerOhmKm).toBeCloseTo(1, 2)
    expect(figures.massKgKm! / cable.massKgKm).toBeGreaterThan(0.97)
    expect(figures.massKgKm! / cable.massKgKm).toBeLessThan(1.02)
    expect(figures.copperKgKm! / cable.copperKgKm).toBeGreaterThan(0.96)
    expect(figures.copperKgKm! / cable.copperKgKm).toBeLessThan(1.02)
  })

  test.each(works.cables.map((c) => c.cable))('%s: attenuation meets the tested points', (id) => {
    const cable = cableOf(id)
    const loss = constructionFigures(cable).loss!
    const from = loss.foilHoldsFromMhz ?? 0
    const points = works.attenuation.filter((p) => p.cable === id && p.fMhz >= from)
    expect(points.length).toBeGreaterThan(10)
    for (const p of points) {
      const computed = loss.k1DbPer100mPerSqrtMhz * Math.sqrt(p.fMhz) + loss.k2DbPer100mPerMhz * p.fMhz
      // the factor of a bare braid is "about 2 and rising" in the trade, no more is known of it
      expect(Math.abs(computed / p.attDbPer100m - 1)).toBeLessThan(
        cable.foilMaterial === 'none' ? 0.05 : 0.005,
      )
    }
  })

  test('rf.att.guide.RG-58C-U: bare braid over solid PE, within 12 % of the published typical figures', () => {
    const { inputs, expected } = published<{ f_mhz: number[] }, number[]>('rf.att.guide.RG-58C-U')
    // construction of the type: 19 x 0.18 mm, 2.95 mm over solid PE (M17/28 slash sheet, from memory)
    const parts = { innerStrands: 19, innerOdMm: 0.9, dielectricOdMm: 2.95, epsR: 2.27, tanDelta: 0.00025 }
    const braid = { foilMaterial: 'none' as const, foilUm: 0, braidMaterial: 'Cu_tinned' }
    const loss = lossFromConstruction({ ...parts, ...braid }, 50)!
    inputs.f_mhz.forEach((f, i) => {
      const computed = loss.k1DbPer100mPerSqrtMhz * Math.sqrt(f) + loss.k2DbPer100mPerMhz * f
      expect(Math.abs(computed / expected[i]! - 1)).toBeLessThan(0.12)
    })
  })

  test('a bare braid and a strand lose more than foil and solid wire', () => {
    const cable = cableOf('C081-50')
    const k1 = (change: object) => lossFromConstruction({ ...cable, ...change }, 50)!.k1DbPer100mPerSqrtMhz
    expect(k1({ foilMaterial: 'none', foilUm: 0 })).toBeGreaterThan(k1({}))
    expect(k1({ innerStrands: 7 })).toBeGreaterThan(k1({}))
    expect(k1({ foilMaterial: 'Al' })).toBeGreaterThan(k1({}))
  })

  test('an unknown metal gives no figure instead of a wrong one', () => {
    const odd = { ...cableOf('C028-50'), braidMaterial: 'mithril <b>' }
    expect(constructionFigures(odd)).toMatchObject({ loss: null, rOuterOhmKm: null, massKgKm: null })
    expect(constructionFigures({ ...cableOf('C028-50'), jacketMaterial: 'bark' }).massKgKm).toBeNull()
  })

  test('handbook figures: skin depth 66 µm and 0.261 mΩ at 1 MHz in copper, 91·f·√ε·tan δ', () => {
    // Ramo, Whinnery, Van Duzer, table of skin depths: copper 0.066 m/√f, Rs 2.61e-7·√f (from memory)
    const copper = metalNamed('Cu')!
    expect(skinDepthMm(copper, 1e6)).toBeCloseTo(0.066, 3)
    expect(surfaceResistanceOhm(copper, 1e6)).toBeCloseTo(2.61e-4, 6)
    // TRADE form: 91 dB/m at 1 GHz with √ε·tan δ = 1
    expect(dielectricLossDbM(1, 1, 1e9)).toBeCloseTo(91, 1)
  })

  test('foam: permittivity from velocity and back; 50 ohm at 66 % has 101 pF/m', () => {
    expect(permittivityOf(0.85)).toBeCloseTo(1.3841, 4)
    // 30.8 pF/ft of the 50 ohm solid-PE types, MIL-C-17 sheets as quoted (from memory)
    expect(capacitancePfM(50, 0.66) * 0.3048).toBeCloseTo(30.8, 1)
  })
})

describe('fit of tested points', () => {
  const GRID = [10, 30, 100, 300, 1_000, 3_000, 6_000]

  test('finds the two parts that made the points, and never a negative one', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 3, noNaN: true }),
        fc.double({ min: 0, max: 0.02, noNaN: true }),
        (a, b) => {
          fc.pre(a + b > 1e-6)
          const fit = fitAttenuation(GRID.map((f) => point(f, a * Math.sqrt(f) + b * f)))!
          expect(fit.a).toBeCloseTo(a, 6)
          expect(fit.b).toBeCloseTo(b, 8)
          expect(Math.min(fit.a, fit.b)).toBeGreaterThanOrEqual(0)
        },
      ),
    )
  })

  test('holds a part at nought where the free fit would make it negative, and is then the best there is', () => {
    // flatter than √f: the free solution has b < 0
    const points = GRID.map((f) => point(f, f ** 0.4))
    const fit = fitAttenuation(points)!
    expect(fit.b).toBe(0)
    const error = (a: number, b: number) =>
      points.reduce((s, p) => s + ((a * Math.sqrt(p.fMhz) + b * p.fMhz) / p.attDbPer100m - 1) ** 2, 0)
    for (const [da, db] of [
      [1e-4, 0],
      [-1e-4, 0],
      [0, 1e-5],
      [-1e-4, 1e-5],
    ] as const)
      expect(error(fit.a, fit.b)).toBeLessThan(error(fit.a + da, fit.b + db))
    // steeper than f: a is held
    expect(fitAttenuation(GRID.map((f) => point(f, f ** 1.2)))!.a).toBe(0)
  })

  test('scatter of the points shows in the confidence: about one in twenty lies beyond twice it', () => {
    const random = seeded(5)
    let beyond = 0
    const rounds = 400
    for (let k = 0; k < rounds; k++) {
      const noise = () => 1 + 0.01 * Math.sqrt(-2 * Math.log(random())) * Math.cos(2 * Math.PI * random())
      const fit = fitAttenuation(
        [...GRID, 20, 60, 200, 600, 2_000].map((f) => point(f, (0.5 * Math.sqrt(f) + 0.001 * f) * noise())),
      )!
      const truth = 0.5 * Math.sqrt(900) + 0.9
      if (Math.abs(attenuationDbPer100m(fit, 900) - truth) > 2 * fitUncertaintyDbPer100m(fit, 900)!) beyond++
    }
    // Student's t with 10 degrees of freedom: 7.3 % beyond 2
    expect(beyond / rounds).toBeGreaterThan(0.03)
    expect(beyond / rounds).toBeLessThan(0.13)
  })

  test('two free parts take two degrees of freedom, one held at nought leaves one more', () => {
    // each of n points measured twice: variance falls by (n − 2)/(2n − 2), or by (n − 1)/(2n − 1) with one part
    const ratio = (points: AttenuationPoint[]) =>
      fitAttenuation([...points, ...points])!.covariance!.aa / fitAttenuation(points)!.covariance!.aa
    expect(ratio([point(1, 1.02), point(100, 10.9), point(900, 39.5)])).toBeCloseTo(1 / 4, 9)
    expect(ratio([10, 100, 1_000].map((f) => point(f, f ** 0.4)))).toBeCloseTo(2 / 5, 9)
  })

  test('no points: the declared constants; not even those: the construction', () => {
    const cable = cableOf('C081-50')
    expect(attenuationOf(cable, [])).toMatchObject({ from: 'declared', a: cable.attK1DbPer100mPerSqrtMhz })
    const bare = { ...cable, attK1DbPer100mPerSqrtMhz: 0 }
    const built = attenuationOf(bare, [])!
    expect(built.from).toBe('construction')
    expect(built.a / cable.attK1DbPer100mPerSqrtMhz).toBeCloseTo(1, 2)
    expect(attenuationOf({ ...bare, foilUm: 0, braidMaterial: '?' }, [])).toBeNull()
    expect(fitAttenuation([])).toBeNull()
  })
})

describe('limits', () => {
  test('temperature: 0.2 % per K, and no figure outside the range of the rule', () => {
    expect(attenuationFactor(50)).toBeCloseTo(1.06, 2)
    expect(attenuationFactor(-41)).toBeNull()
    expect(attenuationFactor(81)).toBeNull()
    expect(attenuationFactor(Number.NaN)).toBeNull()
  })

  const points = [point(10, 1), point(30, 2, 1_600), point(300, 8, 500), point(3_000, 30, 150)]

  test('power meets the tested points and lies between them', () => {
    expect(powerLimit(points, 300, 40, 1)).toEqual({ powerW: 500, atLeast: false })
    const between = powerLimit(points, 100, 40, 1)!.powerW
    expect(between).toBeGreaterThan(500)
    expect(between).toBeLessThan(1_600)
    expect(powerLimit(points, 10, 40, 1)).toEqual({ powerW: 1_600, atLeast: true })
  })

  test('power falls with warmth and standing waves, and is not known above the last point or without points', () => {
    expect(powerLimit(points, 300, 60, 1)!.powerW).toBeCloseTo(250, 9)
    expect(powerLimit(points, 300, 0, 1)!.powerW).toBe(500)
    expect(powerLimit(points, 300, 40, 2)!.powerW).toBe(250)
    expect(powerLimit(points, 300, HOTTEST_C, 1)).toBeNull()
    expect(powerLimit(points, 3_001, 40, 1)).toBeNull()
    expect(powerLimit([point(10, 1)], 10, 40, 1)).toBeNull()
  })
})

function seeded(seed: number): () => number {
  let state = seed
  return () => {
    state = (state * 16_807) % 2_147_483_647
    return state / 2_147_483_647
  }
}
