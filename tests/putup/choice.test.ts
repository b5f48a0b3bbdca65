import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { coilSize } from '../../src/putup/coil.ts'
import { filmSleeve } from '../../src/putup/film-sleeve.ts'
import type { Putup } from '../../src/putup/putup.ts'
import { HAND_LIFT_KG, type PutupAsk } from '../../src/putup/putup-ask.ts'
import { choosePutups, type PutupChoice } from '../../src/putup/putup-choice.ts'
import { WOOD_TREATMENT } from '../../src/putup/putup-limits.ts'
import { LastmetreError } from '../../src/quantity/errors.ts'
import { kelderwick } from '../plan/kelderwick-input.ts'
import { putupValue } from './putup-value.ts'

const works = kelderwick()

function ask(cable: string, declaredM: number, more: Partial<PutupAsk> = {}): PutupAsk {
  const { site, costs, putups } = works
  return {
    cable: works.cables.find((c) => c.cable === cable)!,
    declaredM,
    putups,
    putupRules: site.putupRules,
    cutRules: site.cutRules,
    lines: site.lines,
    market: null,
    oven: site.oven,
    costs,
    ...more,
  }
}

const market = (id: string) => works.markets.find((m) => m.market === id)!
const putup = (id: string): Putup => works.putups.find((p) => p.putup === id)!
const of = (choices: PutupChoice[], id: string) => choices.find((c) => c.putup === id)!

describe('which put-ups take it', () => {
  // the contract of the works folder, putup_rules, reckoned once more: 35 turns in 14 layers from 228.1 mm, 95 %
  it('by the rule of the works', () => {
    const found = of(choosePutups(ask('C081-50', 250)), 'PD-500')
    let lengthMm = 0
    for (let i = 0; i < 14; i++) lengthMm += 35 * Math.PI * (220 + 8.1 + 2 * 0.95 * 8.1 * i)
    expect(found.capacityM).toBeCloseTo((0.95 * lengthMm) / 1000, 6)
    expect(found).toMatchObject({
      fits: true,
      limitedBy: 'layers',
      costEur: 9.8,
      layersMost: 14,
      turnsPerLayer: 35,
    })
    // 250 · 1.001 + 0.3 m at 83.6 kg/km on 3.1 kg
    expect(found.grossKg).toBeCloseTo(0.0836 * 250.55 + 3.1, 9)
  })

  it('all of them are listed once, fitting ones first and cheapest all in first', () => {
    for (const cable of works.cables)
      for (const lengthM of [5, 25, 100, 250, 500, 2000]) {
        const found = choosePutups(ask(cable.cable, lengthM))
        expect(found.map((c) => c.putup).sort()).toEqual(works.putups.map((p) => p.putup).sort())
        const fits = found.map((c) => c.fits)
        expect(fits).toEqual([...fits].sort((a, b) => Number(b) - Number(a)))
        const costs = found.filter((c) => c.fits).map((c) => c.packedEur)
        expect(costs).toEqual([...costs].sort((a, b) => a - b))
        for (const c of found) expect(c.reason.length).toBeGreaterThan(10)
      }
  })

  it('the longest length fits and a metre more does not', () => {
    fc.assert(
      fc.property(fc.constantFrom(...works.cables), fc.constantFrom(...works.putups), (cable, one) => {
        const only = (lengthM: number) => choosePutups(ask(cable.cable, lengthM, { putups: [one] }))[0]!
        const { longestM, fits } = only(1)
        fc.pre(fits)
        expect(only(longestM - 1e-6).fits).toBe(true)
        expect(only(longestM + 1).fits).toBe(false)
      }),
    )
  })

  it('process drums stay on site, and come last', () => {
    const found = choosePutups(ask('C081-50', 100)).at(-1)!
    expect(found).toMatchObject({ putup: 'PR-1250', fits: false, limitedBy: 'stays on site' })
  })
})

describe('what stands in the way', () => {
  const limited = (cable: string, lengthM: number, id: string, more: Partial<PutupAsk> = {}) =>
    of(choosePutups(ask(cable, lengthM, more)), id)

  it('a barrel below the least of the cable', () => {
    expect(limited('C081-50', 10, 'PD-400')).toMatchObject({ fits: false, limitedBy: 'barrel', capacityM: 0 })
  })

  it('too many layers', () => {
    expect(limited('C081-50', 92, 'C-380')).toMatchObject({ fits: false, limitedBy: 'layers' })
  })

  it('payload, of the length that is cut', () => {
    const light = { ...putup('PD-500'), payloadKg: 20 }
    const found = limited('C081-50', 239.1, 'PD-500', { putups: [light] })
    // 20 kg are 239.23 m as cut, so 238.7 m declared
    expect(found).toMatchObject({ fits: false, limitedBy: 'payload' })
    expect(found.longestM).toBeCloseTo((20_000 / 83.6 - 0.3) / 1.001, 9)
    expect(found.capacityM).toBeCloseTo(20_000 / 83.6, 9)
  })

  it('unmarked wood where the market has a rule on wood', () => {
    expect(limited('C142-50', 1000, 'WN-1000', { market: market('US') })).toMatchObject({
      fits: false,
      limitedBy: 'wood',
    })
    const home = choosePutups(ask('C142-50', 1000, { market: market('DE') }))
    expect(home[0]).toMatchObject({ putup: 'WN-1000', fits: true, notes: [expect.stringMatching(/hoist/)] })
    expect(limited('C142-50', 1000, 'WN-1000').notes.join()).toMatch(
      /only for markets without a rule on wood/,
    )
  })

  // ISPM 15 as summarised: core at 56 °C for 30 min, wood thinner than 6 mm exempt
  it('says what the rule on wood asks', () => {
    const { expected } = putupValue<object, { core_C: number; minutes: number; exempt_mm: number }>(
      'reel.ispm15',
    )
    expect(WOOD_TREATMENT).toEqual({
      coreC: expected.core_C,
      minutes: expected.minutes,
      exemptBelowMm: expected.exempt_mm,
    })
  })

  it('no line that winds it', () => {
    const found = limited('C142-50', 5, 'BB-200', {
      putups: [{ ...putup('BB-200'), barrelMm: 300, flangeMm: 600 }],
    })
    expect(found).toMatchObject({ fits: false, limitedBy: 'take-up', line: null })
  })

  it('the weight that one person lifts, for a coil only', () => {
    const heavy = [
      { ...putup('C-380'), payloadKg: 60, traverseMm: 400 },
      { ...putup('PD-500'), traverseMm: 400 },
    ]
    const [drum, coil] = choosePutups(ask('C110-50', 160, { putups: heavy }))
    expect(coil).toMatchObject({ putup: 'C-380', fits: false, limitedBy: 'hand lifting' })
    expect(drum).toMatchObject({ putup: 'PD-500', fits: true })
    expect(drum!.notes.join()).toMatch(/hoist or a truck/)
    // a works that asks less of its people
    const [light] = choosePutups(ask('C081-50', 80, { putups: [putup('C-380')], handLiftKg: 5 }))
    expect(light).toMatchObject({ fits: false, limitedBy: 'hand lifting' })
  })

  // worked example of the revised lifting equation, H 25, V 55, D 95 cm: its multipliers on the load constant
  it('takes the load constant of the lifting equation', () => {
    const { inputs, expected, tolerance } = putupValue<
      { H: number; V: number; D: number; FM: number; CM: number },
      { rwl: number }
    >('lift.niosh.metric')
    const { H, V, D, FM, CM } = inputs
    const multipliers = (25 / H) * (1 - 0.003 * Math.abs(V - 75)) * (0.82 + 4.5 / D) * FM * CM
    expect(Math.abs(HAND_LIFT_KG * multipliers - expected.rwl)).toBeLessThanOrEqual(tolerance)
  })
})

describe('what cannot be', () => {
  it('a cable with no bend limit: unknown, with what to enter, never zero', () => {
    const cable = {
      ...ask('C081-50', 1).cable,
      barrelMinMm: null,
      bendMinRepeatedMm: null,
      bendMinSingleMm: null,
    }
    for (const found of choosePutups(ask('C081-50', 20, { cable }))) {
      expect(found.fits).toBe(false)
      expect(found.barrelLimits.find((l) => l.binding)).toMatchObject({ leastMm: null, kept: null })
      if (found.kind === 'process_drum') continue
      expect(found.limitedBy).toBe('barrel unknown')
      expect(found.reason).toMatch(/unknown.*enter barrel_min_mm in cables\.csv/)
      expect(found.capacityM).toBeGreaterThan(0)
    }
  })

  it('a bend radius that nobody has stated is noted on a put-up that fits', () => {
    const cable = { ...ask('C081-50', 1).cable, bendMinRepeatedMm: null }
    const found = of(choosePutups(ask('C081-50', 250, { cable })), 'PD-500')
    expect(found.fits).toBe(true)
    expect(found.notes.join()).toContain('Unknown: twice the repeated bend radius')
  })

  it('a barrel wider than its flange: names both cells', () => {
    const wide = { ...putup('PD-500'), barrelMm: 600 }
    const [found] = choosePutups(ask('C081-50', 10, { putups: [wide] }))
    expect(found).toMatchObject({
      fits: false,
      limitedBy: 'flange',
      capacityM: 0,
      layers: null,
      footage: null,
    })
    expect(found!.reason).toMatch(/600 mm is not below its flange of 500 mm.*correct barrel_mm or flange_mm/)
  })

  it('a traverse narrower than the cable', () => {
    const thin = { ...putup('PD-500'), traverseMm: 6 }
    const [found] = choosePutups(ask('C081-50', 10, { putups: [thin] }))
    expect(found).toMatchObject({ fits: false, limitedBy: 'traverse', turns: null, outerDiameterMm: null })
  })

  it.each([0, -5, Number.NaN, Number.POSITIVE_INFINITY])('a length of %d', (lengthM) => {
    expect(() => choosePutups(ask('C081-50', lengthM))).toThrow(LastmetreError)
  })

  it('a cable without thickness or mass', () => {
    const { cable } = ask('C081-50', 1)
    expect(() => choosePutups(ask('C081-50', 1, { cable: { ...cable, odMm: 0 } }))).toThrow(
      /od_mm of C081-50/,
    )
    expect(() => choosePutups(ask('C081-50', 1, { cable: { ...cable, massKgKm: 0 } }))).toThrow(/mass_kg_km/)
  })
})

describe('coil and film', () => {
  it('is tied at 3 or 4 places', () => {
    // common practice of the trade: 3 to 4 ties
    expect(coilSize(220, 300, 60).ties).toBe(3)
    expect(coilSize(380, 490, 110).ties).toBe(4)
    expect(coilSize(900, 1000, 110).ties).toBe(4)
    // once round a section 40 mm high and 60 mm wide, and 60 mm over
    expect(coilSize(220, 300, 60).tieMm).toBe(260)
  })

  it('the sleeve goes round the coil, with its mass by area, thickness and density', () => {
    const { oven } = works.site
    // half girth 300 + 60 = 360 mm, with 10 % ease 396: the 400 mm roll; 2 · 360 + 50 = 770 mm of it
    const sleeve = filmSleeve(coilSize(220, 300, 60), oven)
    expect(sleeve).toMatchObject({ rollMm: 400, lengthMm: 770 })
    expect(sleeve.widthMinMm).toBeCloseTo(396, 9)
    expect(sleeve.massKg).toBeCloseTo(0.4 * 0.77 * 0.06 * 0.923, 12)
    expect(sleeve.shrinkAcrossNeededPct).toBeCloseTo(10, 9)
    // 18 kW for the 0.4 m that the coil takes up on a belt of 6 m/min; 1.2 m of chamber at that speed
    expect(sleeve.ovenKwh).toBeCloseTo((18 * 0.4) / 6 / 60, 12)
    expect(sleeve.dwellS).toBeCloseTo(12, 12)
  })

  it('says so where no film is wide enough, and counts none', () => {
    const oven = { ...works.site.oven, film: { ...works.site.oven.film, widthsMm: [400] } }
    const [found] = choosePutups(ask('C081-50', 80, { putups: [putup('C-380')], oven }))
    expect(found!.film).toMatchObject({ rollMm: null, massKg: null, filmEur: null })
    expect(found!.cost.filmEur).toBe(0)
    expect(found!.notes.join()).toMatch(/No film of the works is wide enough/)
  })

  it('adds up what it costs', () => {
    for (const found of choosePutups(ask('C059-50', 25))) {
      const { putupEur, filmEur, ovenEur, tiesEur, handlingEur, totalEur } = found.cost
      expect(totalEur).toBeCloseTo(putupEur + filmEur + ovenEur + tiesEur + handlingEur, 12)
      expect(found.packedEur).toBe(totalEur)
      expect(found.costEur).toBe(putupEur)
    }
    // 70 s on RW-1 at 62 €/h, cheaper than 95 s on RW-2 at 71
    const coil = of(choosePutups(ask('C059-50', 25)), 'C-220')
    expect(coil).toMatchObject({ line: 'RW-1' })
    expect(coil.cost.handlingEur).toBeCloseTo((70 * 62) / 3600, 12)
  })
})
