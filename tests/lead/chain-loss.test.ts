import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { gammaOfVswr, standingWaveLossDb } from '../../src/cable/reflection.ts'
import { chainOf } from '../../src/lead/chain.ts'
import { chainLoss as lossWithPower } from '../../src/lead/chain-loss.ts'
import { lossCurve } from '../../src/lead/loss-curve.ts'
import { cableOf, connectorOf, works } from './demo-works.ts'

const chain = (lengthM: number, change: Partial<Parameters<typeof chainOf>[0]> = {}) =>
  chainOf({
    ...{ cable: cableOf('C081-50'), attenuation: works.attenuation, lengthM, tempC: 20, a: null, b: null },
    ...change,
  })

const chainLoss = (of: ReturnType<typeof chain>, fMhz: number, vswr: number) =>
  lossWithPower(of, { fMhz, vswr }, null)

describe('loss of a chain', () => {
  test('at a tested point the cable loses what was tested', () => {
    for (const p of works.attenuation.filter((x) => x.cable === 'C081-50')) {
      const { matchedLossDb } = chainLoss(chain(100), p.fMhz, 1)
      expect(Math.abs(matchedLossDb / p.attDbPer100m - 1)).toBeLessThan(0.02)
    }
  })

  test('connectors add c·√f each (form of connector sheets, ESCC 3402)', () => {
    const n = connectorOf('N-C-081')
    const bare = chainLoss(chain(30), 144, 1).matchedLossDb
    const ended = chainLoss(chain(30, { a: n, b: n }), 144, 1)
    expect(ended.connectorLossDb).toBeCloseTo(2 * 0.05 * Math.sqrt(0.144), 12)
    expect(ended.matchedLossDb - bare).toBeCloseTo(ended.connectorLossDb, 12)
  })

  test('with a standing wave it is the handbook formula where the impedance is nearly real', () => {
    const loss = chainLoss(chain(100), 430, 8)
    const handbook = standingWaveLossDb(loss.matchedLossDb, gammaOfVswr(8))
    expect(Math.abs(loss.totalLossDb - handbook)).toBeLessThan(0.02)
    expect(chainLoss(chain(100), 430, 1).totalLossDb).toBeCloseTo(loss.matchedLossDb, 4)
  })

  test('at low frequency the exact equation parts from the handbook, which knows no reactive impedance', () => {
    const { totalLossDb, approximateTotalLossDb } = chainLoss(chain(100), 0.1, 8)
    expect(Math.abs(totalLossDb / approximateTotalLossDb - 1)).toBeGreaterThan(0.05)
  })

  test('loss grows with length, matched and with any standing wave', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.05, max: 500, noNaN: true }),
        fc.double({ min: 0.001, max: 100, noNaN: true }),
        fc.double({ min: 1, max: 6_000, noNaN: true }),
        fc.double({ min: 1, max: 20, noNaN: true }),
        (lengthM, moreM, fMhz, vswr) => {
          const short = chainLoss(chain(lengthM), fMhz, vswr)
          const long = chainLoss(chain(lengthM + moreM), fMhz, vswr)
          expect(long.matchedLossDb).toBeGreaterThan(short.matchedLossDb)
          expect(long.totalLossDb).toBeGreaterThan(short.totalLossDb - 1e-9)
          expect(long.matchedLossLimitDb).toBeGreaterThan(long.matchedLossDb)
        },
      ),
      { numRuns: 300 },
    )
  })

  test('delay, electrical length and phase of 30 m at 0.85 c', () => {
    const loss = chainLoss(chain(30), 144, 1)
    expect(loss.delayNs).toBeCloseTo(30 / 0.85 / 0.299792458, 9)
    expect(loss.electricalLengthM).toBeCloseTo(30 / 0.85, 12)
    expect(loss.turns * 360 - Math.floor(loss.turns) * 360).toBeCloseTo(loss.phaseDeg, 9)
    // TRADE §10: one degree at 2.4 GHz is 0.29 mm at 0.83 c
    const near = (lengthM: number) => chainLoss(chain(lengthM, { cable: cableOf('C059-50') }), 2_400, 1).turns
    expect((near(1.00029) - near(1)) * 360).toBeCloseTo(1, 1)
  })

  test('no figure beyond the type, the connector or the TE11 cut-off, and it says which', () => {
    expect(() => chainLoss(chain(30), 6_000, 1)).not.toThrow()
    expect(() => chainLoss(chain(30), 6_001, 1)).toThrow(/6000 MHz.*C081-50/)
    const uhf = { cable: cableOf('C049-50'), a: connectorOf('UHF-C-049') }
    expect(() => chainLoss(chain(3, uhf), 301, 1)).toThrow(/300 MHz.*UHF-C-049/)
    const wide = { cable: { ...cableOf('C081-50'), fMaxMhz: 40_000, cutoffGhz: 40 } }
    expect(() => chainLoss(chain(3, wide), 20_600, 1)).toThrow(/TE11.*dimensions/)
    expect(lossCurve(chain(3, wide), 5, 20).at(-1)!.fMhz).toBeLessThan(20_600)
  })

  test('a connector of another cable, a length of nought and a temperature beyond the rule are refused', () => {
    expect(() => chain(3, { a: connectorOf('N-C-110') })).toThrow(/fits C110-50/)
    expect(() => chain(0)).toThrow(/longer than the lead/)
    expect(() => chain(3, { tempC: 90 })).toThrow(/-40 to 80/)
  })

  test('warm cable loses 6 % more at 50 °C, and may carry less above 40', () => {
    const cold = chainLoss(chain(30), 144, 1)
    const warm = chainLoss(chain(30, { tempC: 50 }), 144, 1)
    expect(warm.matchedLossDb / cold.matchedLossDb).toBeCloseTo(1.0594, 3)
    expect(warm.powerLimitW! / cold.powerLimitW!).toBeCloseTo(0.75, 9)
    expect(cold.limitedBy).toBe('cable C081-50')
  })

  test('what is not known is said: power above the last point, uncertainty without points', () => {
    const bare = chain(30, { attenuation: [] })
    const loss = chainLoss(bare, 144, 1)
    expect(loss).toMatchObject({ powerLimitW: null, standardUncertaintyDb: null })
    expect(loss.notes.join(' ')).toContain('declared')
  })

  test('the spread of lots rules the uncertainty: tolerance over √3 (GUM 4.3.7)', () => {
    const loss = chainLoss(chain(100), 1_000, 1)
    const ofLots = (loss.cableLossDb * 0.08) / Math.sqrt(3)
    expect(loss.standardUncertaintyDb!).toBeGreaterThan(ofLots)
    expect(loss.standardUncertaintyDb!).toBeLessThan(ofLots * 1.02)
  })

  test('the part that allows least limits the chain; the far connector gets what is left', () => {
    const n = connectorOf('N-C-081')
    const ended = chain(100, { a: n, b: n })
    const power = (powerMaxW: number) => [30, 6_000].map((fMhz) => ({ part: n.part, fMhz, powerMaxW }))
    const at = { fMhz: 1_000, vswr: 1 }
    const cable = lossWithPower(ended, at, power(5_000))
    // the tested point of the type at 1 GHz
    expect(cable).toMatchObject({ powerLimitW: 270, limitedBy: 'cable C081-50' })
    const near = lossWithPower(ended, at, power(100))
    expect(near.limitedBy).toBe('connector N-C-081 at end A')
    expect(near.powerLimitW).toBeCloseTo(100, 9)
    const uhf = connectorOf('BNC-C-049')
    const thin = chain(5, { cable: cableOf('C049-50'), a: null, b: uhf })
    const far = lossWithPower(
      thin,
      at,
      [30, 4_000].map((fMhz) => ({ part: uhf.part, fMhz, powerMaxW: 1 })),
    )
    expect(far.limitedBy).toBe('connector BNC-C-049 at end B')
    expect(far.powerLimitW).toBeCloseTo(10 ** (far.cableLossDb / 10), 6)
    expect(lossWithPower(ended, at, null).notes.join(' ')).toContain('N-C-081 at end A is not recorded')
  })
})
