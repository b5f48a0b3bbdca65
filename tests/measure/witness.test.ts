import { beforeAll, describe, expect, it } from 'vitest'
import {
  bookWitness,
  loopWitness,
  marksWitness,
  printFactor,
  reflectometryWitness,
  turnsWitness,
  weighedWitness,
} from '../../src/measure/drum-witness.ts'
import { agreedLength, leastErrorFoundUm, type Witness, type WitnessKind } from '../../src/measure/witness.ts'
import { lengthAtTurnsM, windingAt, windingOf } from '../../src/putup/winding.ts'
import { umFromM } from '../../src/quantity/length.ts'
import type { Drum } from '../../src/strip/drum.ts'
import { witnessedDrums } from '../../src/works/length-questions.ts'
import type { Works } from '../../src/works/works.ts'
import { demoWorks, NOTHING_MORE } from './demo-works.ts'
import { randomSource } from './random-source.ts'

const said = (kind: WitnessKind, lengthM: number, standardM: number): Witness => ({
  kind,
  lengthUm: umFromM(lengthM),
  standardUm: umFromM(standardM),
  from: '',
})

describe('one length from several witnesses', () => {
  it('weighs by inverse variance', () => {
    // 1/0.6² : 1/0.8² = 16 : 9, u = 0.6·0.8/1
    const { lengthUm, standardUm, agree } = agreedLength([said('book', 100, 0.6), said('marks', 101, 0.8)])
    expect(lengthUm).toBe(umFromM(100.36))
    expect(standardUm).toBe(umFromM(0.48))
    expect(agree).toBe(true)
  })

  it('names the one that does not fit, and leaves it out of the length', () => {
    const finding = agreedLength([said('book', 110, 0.5), said('marks', 100, 0.5), said('weight', 100.4, 1)])
    expect(finding).toMatchObject({ agree: false, quarrels: 'book', lengthUm: umFromM(100.08) })
    expect(finding.offUm).toBe(umFromM(9.92))
  })

  it('two that quarrel name nobody, and the length is as unsure as they are apart', () => {
    const finding = agreedLength([said('book', 110, 0.5), said('marks', 100, 0.5)])
    expect(finding).toMatchObject({ agree: false, quarrels: null, lengthUm: umFromM(105) })
    expect(Math.abs(finding.standardUm! - umFromM(5))).toBeLessThanOrEqual(1)
  })

  it('names nobody where two are as likely to be wrong', () => {
    const finding = agreedLength([said('book', 110, 0.5), said('marks', 100, 0.5), said('weight', 105, 3)])
    expect(finding).toMatchObject({ agree: false, quarrels: null })
  })

  it('one witness alone is its own length; none leaves it unknown', () => {
    expect(agreedLength([said('book', 50, 1)])).toMatchObject({
      lengthUm: umFromM(50),
      chance: null,
      agree: true,
    })
    expect(agreedLength([])).toMatchObject({ lengthUm: null, standardUm: null })
    expect(leastErrorFoundUm([said('book', 50, 1)], 'book')).toBeNull()
  })

  it('calls honest witnesses apart once in a hundred', () => {
    let apart = 0
    for (let seed = 1; seed <= 4_000; seed++) {
      const { normal } = randomSource(seed)
      const honest = [1, 0.7, 5].map((u, i) =>
        said((['book', 'marks', 'weight'] as const)[i]!, 500 + u * normal(), u),
      )
      if (!agreedLength(honest).agree) apart++
    }
    // three standard deviations of 1 % in 4 000: ±0.47 %
    expect(Math.abs(apart / 4_000 - 0.01)).toBeLessThan(0.0047)
  })
})

describe('single witnesses', () => {
  it('loop resistance and reflectometry, by their formulas', () => {
    const cable = { rInnerOhmKm: 4.75, rOuterOhmKm: 8.74, velocityRatio: 0.85, velocityLotSpreadPct: 0.5 }
    // 13.49 ohm/km at 20 °C, 0.393 % more per kelvin
    const loop = loopWitness({ loopOhm: 13.49 * 1.0393, standardOhm: 0.01, tempC: 30 }, cable)!
    expect(loop.lengthUm).toBe(umFromM(1000))
    // there and back at 0.85 c
    const time = reflectometryWitness(
      { roundTripNs: (2 * 500e9) / (0.85 * 299_792_458), standardNs: 1 },
      cable,
    )!
    expect(Math.abs(time.lengthUm - umFromM(500))).toBeLessThanOrEqual(1)
    // ±0.5 % rectangular and 1 ns of 3.9 µs
    expect(time.standardUm / time.lengthUm).toBeCloseTo(Math.hypot(0.005 / Math.sqrt(3), 1 / 3924.4), 5)
    expect(loopWitness({ loopOhm: 0, standardOhm: 1, tempC: 20 }, cable)).toBeNull()
    expect(reflectometryWitness({ roundTripNs: -1, standardNs: 1 }, cable)).toBeNull()
  })

  it('marks in feet, with a restart, and with a factor learned from taped pieces', () => {
    const segment = (markFrom: number | null, markTo: number | null, printUnit: 'm' | 'ft' | 'none') => ({
      ...{ drum: 'D', segment: 1, fromUm: 0, toUm: umFromM(100), markFrom, markTo, printUnit },
    })
    expect(marksWitness([segment(1000, 0, 'ft')])!.lengthUm).toBe(304_800_000)
    expect(marksWitness([segment(50, 150, 'm'), segment(0, 40, 'm')])!.lengthUm).toBe(umFromM(140))
    expect(marksWitness([segment(50, 150, 'm'), segment(null, null, 'none')])).toBeNull()
    expect(marksWitness([])).toBeNull()
    const factor = printFactor([
      { tapeUm: umFromM(20.04), marks: 20 },
      { tapeUm: umFromM(50.1), marks: 50 },
    ])!
    expect(marksWitness([segment(0, 100, 'm')], factor)!.lengthUm).toBe(umFromM(100.2))
    expect(printFactor([{ tapeUm: 1, marks: 1 }])).toBeNull()
  })
})

describe('the demo stock', () => {
  let works: Works
  beforeAll(async () => {
    works = (await demoWorks()).works
  })
  const witnessesOf = (drum: Drum) => witnessedDrums({ ...works, drums: [drum] }, NOTHING_MORE)[0]!.witnesses
  const finding = (drum: Drum) => agreedLength(witnessesOf(drum))

  it('has one drum that is booked wrong: it is found, the book named, and no other called wrong', () => {
    const apart = works.drums.filter((d) => !finding(d).agree)
    expect(apart.map((d) => d.drum)).toEqual(['D015'])
    const { quarrels, lengthUm, standardUm } = finding(apart[0]!)
    expect(quarrels).toBe('book')
    // 575.7 m by its marks, 577.8 m by weight
    expect(Math.abs(lengthUm! - umFromM(575.8))).toBeLessThan(standardUm!)
  })

  it('with a book 2 % wrong either way, every drum long enough to tell is found, and no other witness is blamed', () => {
    let found = 0
    let named = 0
    let likely = 0
    for (const drum of works.drums) {
      const witnesses = witnessesOf(drum)
      if (drum.drum === 'D015' || leastErrorFoundUm(witnesses, 'book')! > 0.02 * drum.bookUm) continue
      for (const factor of [0.98, 1.02]) {
        const { agree, quarrels, likeliest } = finding({ ...drum, bookUm: Math.round(drum.bookUm * factor) })
        expect(agree, drum.drum).toBe(false)
        expect(['book', null], drum.drum).toContain(quarrels)
        if (likeliest?.kind === 'book') likely++
        found++
        if (quarrels === 'book') named++
      }
    }
    // every process drum but D015 and the one long remnant, each twice; where the weight (±2 %) lies towards the wrong book it is the likeliest only
    expect(found).toBe(56)
    expect(named).toBeGreaterThanOrEqual(38)
    expect(likely).toBeGreaterThanOrEqual(54)
  })

  it('a short remnant booked wrong is found from 5 % on or by the metre, not below: it says so', () => {
    const drum = works.drums.find((d) => d.drum === 'R037')!
    const leastUm = leastErrorFoundUm(witnessesOf(drum), 'book')!
    expect(leastUm / drum.bookUm).toBeGreaterThan(0.02)
    expect(finding({ ...drum, bookUm: drum.bookUm + Math.round(leastUm * 1.2) }).agree).toBe(false)
    expect(finding({ ...drum, bookUm: drum.bookUm + Math.round(leastUm * 0.2) }).agree).toBe(true)
  })

  it('further measurements of more/length_witnesses.csv count', async () => {
    const { more } = await demoWorks()
    const drum = works.drums.find((d) => d.drum === 'D015')!
    const { witnesses } = witnessedDrums({ ...works, drums: [drum] }, more)[0]!
    expect(witnesses.map((w) => w.kind)).toEqual(['book', 'marks', 'weight', 'loop', 'reflectometry'])
    expect(agreedLength(witnesses).quarrels).toBe('book')
  })

  it('turns of the take-up give back the length that was wound', () => {
    const cable = works.cables.find((c) => c.cable === 'C081-50')!
    const putup = works.putups.find((p) => p.putup === 'WD-800')!
    const rules = works.site.putupRules
    const { turns } = windingAt(windingOf(putup, cable.odMm, rules)!, 300)
    const witness = turnsWitness(turns, putup, cable, rules)!
    expect(witness.lengthUm / 1e6).toBeCloseTo(300, 3)
    expect(witness.lengthUm).toBe(umFromM(lengthAtTurnsM(windingOf(putup, cable.odMm, rules)!, turns)))
    // 0.05 of a diameter a layer and the tolerance of the diameter: some tenths of a per cent
    expect(witness.standardUm).toBeGreaterThan(umFromM(0.3))
    expect(witness.standardUm).toBeLessThan(umFromM(3))
    expect(turnsWitness(10, { ...putup, traverseMm: 1 }, cable, rules)).toBeNull()
  })

  it('a drum that weighs no more than its tare has no weight for a witness', () => {
    const drum = works.drums[0]!
    const cable = works.cables.find((c) => c.cable === drum.cable)!
    expect(weighedWitness({ ...drum, grossKg: drum.tareKg }, cable)).toBeNull()
    expect(bookWitness(drum).lengthUm).toBe(drum.bookUm)
  })
})
