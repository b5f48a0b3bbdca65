import { beforeAll, describe, expect, test } from 'vitest'
import { capacitancePfM } from '../../src/cable/coax-geometry.ts'
import { judgeLot, lotLimit, testFigure } from '../../src/ledger/lot-test.ts'
import type { Works } from '../../src/works/works.ts'
import { demoWorks } from '../plan-referee/works.ts'

let works: Works
beforeAll(async () => {
  works = await demoWorks()
})
const cableOf = (cable: string) => works.cables.find((c) => c.cable === cable)!
const figure = (quantity: 'attenuation' | 'velocity', value: number, fMhz: number | null = null) => ({
  ...{ quantity, value, fMhz, instrument: null },
})

describe('a lot is held against its cable type', () => {
  test('attenuation: tested point of the folder and its tolerance; the formula between points', () => {
    // works folder: C028-50 has 15.09 dB/100 m at 30 MHz and a plus tolerance of 8 %
    const at30 = lotLimit(cableOf('C028-50'), works.attenuation, 'attenuation', 30)!
    expect(at30.most).toBeCloseTo(15.09 * 1.08, 9)
    // k1·√f + k2·f of works/README.md, by hand: 2.64566·√49 + 0.0200474·49 = 19.50194
    const at49 = lotLimit(cableOf('C028-50'), works.attenuation, 'attenuation', 49)!
    expect(at49.most).toBeCloseTo(19.50194 * 1.08, 4)
    expect(at49.source).toContain('k1, k2')
  })

  test('no figure above the highest frequency of the type: not judged, and the lot does not pass', () => {
    const verdict = judgeLot(cableOf('C028-50'), works.attenuation, [figure('attenuation', 1, 6001)])
    expect(verdict.figures[0]!.passed).toBeNull()
    expect(verdict.passed).toBe(false)
  })

  test('at the limit it passes, beyond it fails; what was not measured is named', () => {
    const cable = cableOf('C059-50')
    const most = cable.velocityRatio * (1 + cable.velocityLotSpreadPct / 100)
    expect(judgeLot(cable, [], [figure('velocity', most)]).passed).toBe(true)
    const over = judgeLot(cable, [], [figure('velocity', most + 1e-6)])
    expect(over.passed).toBe(false)
    expect(over.missing).toEqual(['attenuation', 'return_loss', 'capacitance', 'loop_resistance'])
    expect(testFigure(over.figures[0]!).limit).toBeCloseTo(most, 12)
    expect(judgeLot(cable, [], []).passed).toBe(false)
  })

  test('the capacitance of a type follows from its impedance and velocity, C = 1/(v·Z)', () => {
    for (const cable of works.cables) {
      const limit = lotLimit(cable, [], 'capacitance', null)!
      const pfM = capacitancePfM(cable.z0CalcOhm, cable.velocityRatio)
      expect(pfM).toBeGreaterThan(limit.least!)
      expect(pfM).toBeLessThan(limit.most!)
    }
  })
})
