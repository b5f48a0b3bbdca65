import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Drum } from '../../src/strip/drum.ts'
import type { Fault } from '../../src/strip/fault.ts'
import type { MarkSegment } from '../../src/strip/mark-segment.ts'
import { markAtPlace, placeOfMark, plannedScale, type Stretch, usableDrum } from '../../src/strip/usable.ts'
import { anyDrum } from './drums.ts'

const usable = anyDrum.map(({ drum, segments, faults, rules }) => ({
  rules,
  usable: usableDrum(drum, segments, faults, rules),
}))

describe('any drum', () => {
  it('finds the place again from the mark that stands there', () => {
    fc.assert(
      fc.property(usable, fc.double({ min: 0, max: 1, noNaN: true }), ({ usable: u }, share) => {
        const placeUm = Math.floor(share * u.lengthUm)
        const at = markAtPlace(u, placeUm)
        expect(at).not.toBeNull()
        // a double holds a mark of some thousand to far better than a micrometre of cable
        expect(Math.abs(placeOfMark(at!.segment, at!.mark, u.scale) - placeUm)).toBeLessThan(1)
      }),
    )
  })

  it('never plans with more than the books say', () => {
    fc.assert(
      fc.property(usable, ({ usable: u }) => {
        expect(u.lengthUm).toBeLessThanOrEqual(u.drum.bookUm)
        if (u.segments.length > 1) expect(u.lengthUm).toBe(u.drum.bookUm)
      }),
    )
  })

  it('blocks for each fault its own place and uncertainty and margin on both sides', () => {
    fc.assert(
      fc.property(usable, ({ usable: u, rules }) => {
        for (const z of u.zones) {
          const wideUm = z.fault.posUncUm + rules.faultMarginUm
          // cores are rounded to the nearest micrometre, zones outwards
          expect(z.coreFromUm - z.fromUm).toBeGreaterThanOrEqual(wideUm - 0.5)
          expect(z.toUm - z.coreToUm).toBeGreaterThanOrEqual(wideUm - 0.5)
          expect(z.toUm - z.fromUm).toBeLessThanOrEqual(z.coreToUm - z.coreFromUm + 2 * wideUm + 3)
        }
      }),
    )
  })

  it('has clean stretches in order, apart, between the end losses and off every fault that is cut out', () => {
    fc.assert(
      fc.property(usable, ({ usable: u }) => {
        let atUm = u.good.fromUm
        for (const s of u.clean) {
          expect(s.fromUm).toBeGreaterThanOrEqual(atUm)
          expect(s.toUm).toBeGreaterThan(s.fromUm)
          expect(s.toUm).toBeLessThanOrEqual(u.good.toUm)
          for (const z of u.zones.filter((x) => x.fault.severity === 'cut_out'))
            expect(overlapUm(s, z)).toBe(0)
          atUm = s.toUm
        }
      }),
    )
  })

  it('accounts for every micrometre between the ends: clean, or in a fault that is cut out', () => {
    fc.assert(
      fc.property(usable, ({ usable: u }) => {
        const cleanUm = u.clean.reduce((sum, s) => sum + s.toUm - s.fromUm, 0)
        const blocked = u.zones.filter((z) => z.fault.severity === 'cut_out')
        const goodUm = Math.max(0, u.good.toUm - u.good.fromUm)
        expect(cleanUm + unionUm(blocked, u.good)).toBe(goodUm)
      }),
    )
  })

  it('loses at each end the larger of the end loss and the cut-back of an uncapped end', () => {
    fc.assert(
      fc.property(usable, ({ usable: u, rules }) => {
        const process = u.drum.kind === 'process_drum'
        const outer = [process ? rules.outerEndLossProcessDrumUm : rules.outerEndLossRemnantUm]
        const inner = [process ? rules.innerEndLossProcessDrumUm : 0]
        if (u.drum.endCaps === 'outer_missing' || u.drum.endCaps === 'none')
          outer.push(rules.uncappedEndCutUm)
        if (u.drum.endCaps === 'inner_missing' || u.drum.endCaps === 'none')
          inner.push(rules.uncappedEndCutUm)
        expect(u.good.fromUm).toBe(Math.min(Math.max(...outer), u.lengthUm))
        expect(u.good.toUm).toBe(Math.max(u.lengthUm - Math.max(...inner), 0))
      }),
    )
  })
})

function overlapUm(a: Stretch, b: Stretch): number {
  return Math.max(0, Math.min(a.toUm, b.toUm) - Math.max(a.fromUm, b.fromUm))
}

/** Length of the union within bounds, by sweeping over all ends: another way than the code under test goes. */
function unionUm(stretches: Stretch[], within: Stretch): number {
  const cuts = [...new Set(stretches.flatMap((s) => [s.fromUm, s.toUm]).concat(within.fromUm, within.toUm))]
  cuts.sort((a, b) => a - b)
  let sum = 0
  for (let i = 1; i < cuts.length; i++) {
    const cell = { fromUm: cuts[i - 1]!, toUm: cuts[i]! }
    if (overlapUm(cell, within) > 0 && stretches.some((s) => overlapUm(s, cell) > 0))
      sum += cell.toUm - cell.fromUm
  }
  return sum
}

describe('a drum reckoned by hand', () => {
  const rules = {
    lengthGuardRatio: 0.001,
    pieceTrimUm: 300_000,
    leadTrimUm: 20_000,
    faultMarginUm: 250_000,
    outerEndLossProcessDrumUm: 5_000_000,
    outerEndLossRemnantUm: 500_000,
    innerEndLossProcessDrumUm: 500_000,
    uncappedEndCutUm: 2_000_000,
    minCleanSegmentUm: 500_000,
  }
  const drum: Drum = {
    drum: 'D1',
    cable: 'T059-50',
    lot: 'L1',
    kind: 'process_drum',
    putup: 'PR-1200',
    rewinds: 0,
    bookUm: 418_000_000,
    receivedDate: '2031-01-01',
    location: null,
    status: 'free',
    grossKg: 155,
    tareKg: 135,
    endCaps: 'both',
    note: null,
  }
  const feet: MarkSegment = {
    drum: 'D1',
    segment: 1,
    fromUm: 0,
    toUm: 418_000_000,
    markFrom: 1372.8,
    markTo: 0,
    printUnit: 'ft',
  }
  const fault: Fault = {
    fault: 'F1',
    drum: 'D1',
    segment: 1,
    code: 'SPK',
    what: null,
    severity: 'cut_out',
    markFrom: 951,
    markTo: 951,
    positionSource: 'counter_only',
    posUncUm: 800_000,
    foundAt: null,
    foundDate: '2031-01-01',
  }

  it('reads falling marks in feet: 951 of 1372.8 ft falling lies at 418 m · 421.8/1372.8 = 128.432692 m', () => {
    expect(Math.round(placeOfMark(feet, 951, 1))).toBe(128_432_692)
  })

  it('cuts 0.8 m + 0.25 m on both sides of the fault, 5 m outside and 0.5 m inside', () => {
    expect(usableDrum(drum, [feet], [fault], rules).clean).toEqual([
      { fromUm: 5_000_000, toUm: 127_382_692 },
      { fromUm: 129_482_693, toUm: 417_500_000 },
    ])
  })

  it('takes a place on the micrometre for what it is: 1000 to 222.3 m over 777.7 m, mark 984, is 16 m', () => {
    const metres = {
      ...feet,
      toUm: 777_700_000,
      markFrom: 1000,
      markTo: 1000 - 777.7,
      printUnit: 'm' as const,
    }
    // in binary the place is 15,999,999.999999998 µm
    expect(placeOfMark(metres, 984, 1)).not.toBe(16_000_000)
    const long = { ...drum, bookUm: 777_700_000 }
    expect(
      usableDrum(long, [metres], [{ ...fault, markFrom: 984, markTo: 984 }], rules).clean[0],
    ).toMatchObject({
      fromUm: 5_000_000,
      toUm: 14_950_000,
    })
  })

  it('plans with the print where the books claim over 1 % more, places by book scaled with it', () => {
    const short = { ...feet, markTo: 1372.8 - 1350 }
    const scale = (1350 * 0.3048) / 418
    expect(plannedScale(drum, [short])).toBeCloseTo(scale, 12)
    const u = usableDrum(drum, [short], [], rules)
    expect(u.lengthUm).toBe(Math.round(418e6 * scale))
    expect(u.good).toEqual({ fromUm: 5_000_000, toUm: u.lengthUm - 500_000 })
  })

  it('plans with the books where print and books agree within 1 %, and where a restart hides the print', () => {
    expect(plannedScale(drum, [{ ...feet, markTo: 1372.8 - 1362 }])).toBe(1)
    const first = { ...feet, toUm: 200_000_000, markTo: 800 }
    const second = { ...feet, segment: 2, fromUm: 200_000_000, markFrom: 0, markTo: 600 }
    expect(plannedScale(drum, [first, second])).toBe(1)
  })
})
