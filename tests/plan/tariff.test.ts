import { describe, expect, it } from 'vitest'
import {
  benchMountMicro,
  dueWeight,
  lineMountMicro,
  materialMicro,
  materialMicroPerM,
  putupChangeMicro,
  scrapMicroPerM,
  stretchValueMicro,
  unservedMicro,
  windOffMicro,
} from '../../src/plan/tariff.ts'
import { kelderwick } from './kelderwick-input.ts'
import { bulkRow } from './rows.ts'

/**
 * Each figure is worked out by hand from the works' rule of cost as the contract states it, with the figures of the demo works:
 * costs.json, lines.json (RW-1: 62 EUR/h, 9 and 16 min, 4 min, 95 s, 300 m/min), benches.json (B1: 34 EUR/h), cables.csv.
 */
const works = kelderwick()
const { costs } = works
const line = works.site.lines.find((l) => l.id === 'RW-1')!

describe('value of a clean stretch, V(L) = c·L·(0.35 + 0.65·L/(L + 60 m))', () => {
  const perM = materialMicroPerM(costs, 'C081-50')
  const metres = (m: number) => stretchValueMicro(perM, 9e6, m * 1e6)

  it('c is the material cost per metre', () => {
    expect(perM).toBe(644_000)
  })

  it.each([
    // 60 m: 0.644 · 60 · (0.35 + 0.65 · 60/120) = 38.64 · 0.675
    [60, 26_082_000],
    // 100 m: 64.4 · (0.35 + 0.65 · 0.625) = 64.4 · 0.75625
    [100, 48_702_500],
    // 340 m: 218.96 · (0.35 + 0.65 · 0.85) = 218.96 · 0.9025
    [340, 197_611_400],
    // 15 m: 9.66 · (0.35 + 0.65 · 0.2) = 9.66 · 0.48
    [15, 4_636_800],
    // 9 m, the shortest kept: 5.796 · (0.35 + 0.65 · 9/69) = 2.520 000 EUR, exactly 5.796 · 30/69
    [9, 2_520_000],
  ])('%i m', (m, micro) => {
    expect(metres(m)).toBe(micro)
  })

  it('is 0 below the shortest kept length, for nothing, and for less than nothing', () => {
    expect(metres(8.999999)).toBe(0)
    expect(metres(0)).toBe(0)
    expect(metres(-20)).toBe(0)
    expect(stretchValueMicro(perM, 0, 0)).toBe(0)
  })

  it('agrees with the formula in floating point, is convex, and two halves are worth less than the whole', () => {
    for (const m of [0.000001, 0.5, 3, 59.999999, 777.7, 4321, 100_000]) {
      const value = stretchValueMicro(perM, 0, Math.round(m * 1e6))
      expect(Math.abs(value - 644_000 * m * (0.35 + (0.65 * m) / (m + 60)))).toBeLessThanOrEqual(0.51)
      expect(2 * stretchValueMicro(perM, 0, Math.round(m * 5e5))).toBeLessThanOrEqual(value + 1)
    }
  })
})

describe('what else costs and pays', () => {
  it('scrap pays copper kg/m · copper price · ratio · copper share of the mass', () => {
    // C081-50: 56.8 kg/km copper of 83.6: 0.0568 · 9.1 · 0.45 · 56.8/83.6 EUR/m
    const cable = works.cables.find((c) => c.cable === 'C081-50')!
    expect(scrapMicroPerM(costs, cable)).toBeCloseTo(0.0568 * 9.1 * 0.45 * (56.8 / 83.6) * 1e6, 6)
    expect(scrapMicroPerM(costs, cable)).toBeCloseTo(158_031.73, 2)
  })

  it('a mounting on a line: drum change and minutes at its rate', () => {
    // 14 + 9 · 62/60 = 23.30; 14 + 16 · 62/60 = 30.533…
    expect(lineMountMicro(line, costs, false)).toBe(23_300_000)
    expect(lineMountMicro(line, costs, true)).toBe(30_533_333)
  })

  it('a mounting on a bench: 3 minutes', () => {
    // 3 · 34/60 = 1.70
    expect(benchMountMicro(works.benchHall.benches.find((b) => b.id === 'B1')!)).toBe(1_700_000)
  })

  it('a change of put-up', () => {
    // 4 · 62/60 = 4.1333…
    expect(putupChangeMicro(line)).toBe(4_133_333)
  })

  it('a wind-off: change, tying a bobbin, running at full speed, three months of space', () => {
    // (4 + 95/60 + 120/300) · 62/60 + 3 · 3.5 = 5.98333… · 1.03333… + 10.5 = 16.682777…
    expect(windOffMicro(line, costs, 120e6)).toBe(16_682_778)
  })

  it('material of what is delivered', () => {
    // 30.48 m (100 ft) · 0.644
    expect(materialMicro(costs, 'C081-50', 30_480_000)).toBe(19_629_120)
  })
})

describe('what stays unserved', () => {
  const today = '2031-03-03'

  it.each([
    ['2031-03-03', 2],
    ['2031-03-04', 1.5],
    ['2031-03-12', 1.1],
    // overdue weighs as much as due today, not more
    ['2030-12-24', 2],
    // 29 days
    ['2031-04-01', 1 + 1 / 30],
  ])('due %s weighs %f', (due, weight) => {
    expect(dueWeight(due, today)).toBeCloseTo(weight, 12)
  })

  it('counts the share of the line’s price', () => {
    const order = bulkRow({
      order: '1',
      cable: 'C081-50',
      lengthUm: 1e6,
      qty: 3,
      priceEur: 100,
      dueDate: '2031-03-04',
    })
    // 100 · 2/3 · 1.5, 100 · 1/3 · 1.5
    expect(unservedMicro(order, 2, today)).toBe(100_000_000)
    expect(unservedMicro(order, 1, today)).toBe(50_000_000)
    expect(unservedMicro({ ...order, priceEur: 0 }, 3, today)).toBe(0)
  })
})
