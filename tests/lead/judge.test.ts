import { describe, expect, test } from 'vitest'
import { chainOf } from '../../src/lead/chain.ts'
import { INSTRUMENT } from '../../src/lead/guard.ts'
import { type Judgement, judgeLead } from '../../src/lead/judge.ts'
import { limitsAt, ripplePeriodMhz } from '../../src/lead/lead-limits.ts'
import { specOfOrder, specOfParts, specOfTest } from '../../src/lead/lead-spec.ts'
import { rollersOf } from '../../src/lead/rollers.ts'
import { type Sweep, turnedRound } from '../../src/lead/sweep.ts'
import { cascaded, deembeddedFirst, renormalisedSweep } from '../../src/lead/sweep-algebra.ts'
import { umFromM } from '../../src/quantity/length.ts'
import { cableOf, works } from './demo-works.ts'
import { evenHz, type SimulatedLead, simulatedLead } from './simulated-lead.ts'

const CABLE = cableOf('C059-50')
const SPEC = specOfParts(works, {
  cable: 'C059-50',
  connA: 'N-C-059',
  connB: 'N-C-059',
  lengthUm: umFromM(3),
})
const F_HZ = evenHz(5e6, 6e9, 1_200)

/** A good lead of the type; the simulated one has no loss in its connectors. */
const GOOD: SimulatedLead = {
  ...{ lengthM: SPEC.lengthM, velocity: CABLE.velocityRatio, zOhm: 50, zRefOhm: 50 },
  ...{ a: CABLE.attK1DbPer100mPerSqrtMhz, b: CABLE.attK2DbPer100mPerMhz, faults: [] },
  connectorFarad: [0.03e-12, 0.03e-12],
}

function judged(sweep: Sweep, change: Partial<Parameters<typeof judgeLead>[0]> = {}): Judgement {
  const { cable, a, b } = SPEC
  return judgeLead({
    chain: chainOf({ cable, attenuation: works.attenuation, lengthM: SPEC.cutM, tempC: 20, a, b }),
    ...{ lengthM: SPEC.lengthM, lengthMinusM: 0, lengthPlusM: 0, toMhz: null, sweep, hasPhase: true },
    instrument: INSTRUMENT,
    overdue: null,
    rollers: rollersOf(works.site.rollerCircumferencesM, works.putups, cable),
    ...change,
  })
}

const simulated = (change: Partial<SimulatedLead> = {}) => simulatedLead({ ...GOOD, ...change }, F_HZ)
const rule = (judgement: Judgement, name: string) => judgement.rules.find((r) => r.name.startsWith(name))!

describe('verdict', () => {
  test('a good lead passes every rule', () => {
    const judgement = judged(simulated())
    expect(judgement.rules.map((r) => [r.name, r.pass])).toEqual([
      ['insertion loss', true],
      ['return loss from end A', true],
      ['return loss from end B', true],
      ['length by delay', true],
      ['structural return loss of the line', true],
    ])
    expect(judgement.verdict).toBe('pass')
    expect(judgement.guardRule).toContain('JCGM 106')
  })

  test('too much loss, a bad connector and a wrong length each fail by their rule', () => {
    const lossy = judged(simulated({ a: GOOD.a * 1.4 }))
    expect(rule(lossy, 'insertion loss')).toMatchObject({ pass: false, zone: 'outside' })
    expect(rule(lossy, 'insertion loss').falsePassPct).toBeGreaterThan(99)
    const bad = judged(simulated({ connectorFarad: [0.03e-12, 0.5e-12] }))
    expect(rule(bad, 'return loss from end B').pass).toBe(false)
    const long = judged(simulated({ lengthM: 3.2 }))
    expect(rule(long, 'length by delay').pass).toBe(false)
    const short = judged(simulated({ lengthM: 2.9 }))
    expect(rule(short, 'length by delay').pass).toBe(false)
    // the line itself is sound: its connectors are gated out
    expect(rule(bad, 'structural').pass).toBe(true)
    for (const judgement of [lossy, bad, long, short]) expect(judgement.verdict).toBe('fail')
  })

  test('between acceptance limit and specification it is not accepted, and the risk is told', () => {
    // a connector of exactly the specified reflection, less 0.005 of the 0.01 that the instrument may be wrong
    const at = limitsAt(
      chainOf({ ...SPEC, attenuation: works.attenuation, lengthM: SPEC.cutM, tempC: 20 }),
      6_000,
    )
    const s = new Float64Array(8 * F_HZ.length)
    for (let i = 0; i < F_HZ.length; i++) s[8 * i] = at.gammaA - 0.005
    const { measured, limit, acceptance, zone, falsePassPct } = rule(
      judged({ ports: 2, fHz: F_HZ, s, zRefOhm: [50, 50] }, { hasPhase: false }),
      'return loss from end A',
    )
    expect(zone).toBe('guard band')
    expect(measured!).toBeGreaterThan(limit!)
    expect(acceptance!).toBeGreaterThan(measured!)
    // one standard uncertainty inside: 15.87 % beyond (standard normal table)
    expect(falsePassPct!).toBeCloseTo(15.87, 1)
  })

  test('what was not measured is not judged, and nothing is called a pass for it', () => {
    const one: Sweep = {
      ports: 1,
      fHz: F_HZ,
      s: Float64Array.from({ length: 2 * F_HZ.length }, (_, i) => (i % 2 ? 0 : 0.02)),
      zRefOhm: [50],
    }
    const judgement = judged(one)
    expect(judgement.verdict).toBe('not proven')
    expect(rule(judgement, 'insertion loss')).toMatchObject({
      pass: null,
      measured: null,
      zone: 'not judged',
    })
    const sizes = judged(simulated(), { hasPhase: false })
    expect(sizes.bumps).toEqual([])
    expect(sizes.notes.join(' ')).toContain('needs S11 with its phase')
  })

  test('an uncertainty wider than the tolerance proves nothing, but a gross fault still fails', () => {
    const wide = { instrument: { lossDb: 0.4, gamma: 0.01 } }
    expect(rule(judged(simulated(), wide), 'insertion loss').pass).toBeNull()
    expect(rule(judged(simulated({ a: GOOD.a * 2 }), wide), 'insertion loss').pass).toBe(false)
  })

  test('frequencies beyond the test or the model are left out and said', () => {
    const wide = simulatedLead(GOOD, evenHz(5e6, 8e9, 1_600))
    const judgement = judged(wide)
    expect(judgement.judgedToMhz).toBeLessThanOrEqual(6_000)
    expect(judgement.notes.join(' ')).toMatch(/above 6000 MHz are left out.*C059-50/)
    expect(judged(wide, { toMhz: 3_000 }).judgedToMhz).toBeLessThanOrEqual(3_000)
    expect(judged(wide, { toMhz: 3_000 }).plot.loss.at(-1)!.fMhz).toBeLessThanOrEqual(3_000)
    expect(() => judged(simulatedLead(GOOD, evenHz(7e9, 8e9, 20)))).toThrow(/fewer than two frequencies/)
  })

  test('a lead that gives out more than it takes in is a fault of calibration', () => {
    const sweep = simulated()
    const strong = { ...sweep, s: sweep.s.map((x) => x * 1.2) }
    expect(judged(strong).notes.join(' ')).toContain('check the calibration')
    expect(judged(sweep).notes.join(' ')).not.toContain('calibration')
  })

  test('measured at 75 ohm it is judged at the 50 of the cable', () => {
    const at75 = renormalisedSweep(simulated(), [75, 75])
    const judgement = judged(at75)
    expect(judgement.verdict).toBe('pass')
    expect(judgement.notes.join(' ')).toContain('75 and 75 ohm')
  })
})

describe('limits', () => {
  const chain = (lengthM: number) => chainOf({ ...SPEC, attenuation: works.attenuation, lengthM, tempC: 20 })

  test('two connectors in phase: of 26 dB each, 20 dB on a short lead, 26 on a very long one', () => {
    const gammaDb = (lengthM: number) => -20 * Math.log10(limitsAt(chain(lengthM), 1_000).gammaA)
    expect(gammaDb(0.001)).toBeCloseTo(20, 1)
    expect(gammaDb(500)).toBeCloseTo(26, 2)
    // |Γ1| + |Γ2|·e^(−2αL), with the far connector behind the loss of the near one as well
    const cableDb = limitsAt(chain(10), 1_000).nominalLossDb - 2 * 0.05
    const expected = 10 ** (-26 / 20) * (1 + 10 ** ((-2 * (cableDb + 0.05)) / 20))
    expect(limitsAt(chain(10), 1_000).gammaA).toBeCloseTo(expected, 12)
  })

  test('ripple period v/2L: 3 m at 0.83 c is 41.5 MHz', () => {
    expect(ripplePeriodMhz(0.83, 3)).toBeCloseTo((0.83 * 299.792458) / 6, 9)
  })

  test('ripple of the simulated lead has this period', () => {
    const sweep = simulated({ a: 0, b: 0, connectorFarad: [0.1e-12, 0.1e-12] })
    const minima: number[] = []
    const size = (i: number) => Math.hypot(sweep.s[8 * i]!, sweep.s[8 * i + 1]!)
    for (let i = 600; i < 1_100; i++)
      if (size(i) < size(i - 1) && size(i) < size(i + 1)) minima.push(F_HZ[i]!)
    const period = (minima.at(-1)! - minima[0]!) / (minima.length - 1) / 1e6
    expect(period / ripplePeriodMhz(0.83, SPEC.lengthM)).toBeCloseTo(1, 2)
  })
})

describe('places', () => {
  test('near connector, the dent 1.2 m in, and the far connector', () => {
    const { bumps, resolutionM } = judged(simulated({ faults: [{ atM: 1.2, farad: 0.3e-12 }] }))
    expect(bumps).toHaveLength(3)
    expect(bumps.map((b) => b.what)).toEqual([
      'near connector N-C-059',
      'the line, 1.20 m in',
      'far connector N-C-059',
    ])
    for (const [i, atM] of [0, 1.2, SPEC.lengthM].entries())
      expect(Math.abs(bumps[i]!.atM - atM)).toBeLessThan(resolutionM!)
  })

  test('a connector worse than its sheet is named so', () => {
    const { bumps } = judged(simulated({ connectorFarad: [0.5e-12, 0.03e-12] }))
    expect(bumps[0]!.what).toBe('near connector N-C-059, worse than its 26 dB')
  })

  test('two dents that one end tells apart stay two, however loosely the velocity is known', () => {
    const faults = [1.2, 1.32].map((atM) => ({ atM, farad: 0.2e-12 }))
    const { bumps, resolutionM } = judged(simulated({ faults }))
    expect(resolutionM!).toBeLessThan(0.12)
    expect(bumps.filter((b) => b.what.startsWith('the line')).map((b) => b.atM.toFixed(1))).toEqual([
      '1.2',
      '1.3',
    ])
  })

  test('turned round, the same dent lies as far from the other end', () => {
    const dent = simulated({ faults: [{ atM: 0.7, farad: 0.3e-12 }] })
    const here = judged(dent).bumps[1]!
    const there = judged(turnedRound(dent)).bumps[1]!
    expect(here.atM + there.atM).toBeCloseTo(SPEC.lengthM, 2)
  })

  test('a dent before an open adapter is found where it is once the adapter is taken off', () => {
    const adapter = simulatedLead({ ...GOOD, lengthM: 0.15, connectorFarad: [0.4e-12, 0] }, F_HZ)
    const lead = simulated({ faults: [{ atM: 1.2, farad: 0.3e-12 }] })
    const whole = cascaded(adapter, lead)
    const places = (sweep: Sweep) => judged(sweep).bumps.map((b) => b.atM.toFixed(2))
    expect(places(deembeddedFirst(whole, adapter))).toEqual(places(lead))
    expect(places(whole)).not.toEqual(places(lead))
  })

  test('steps too coarse for the length say nothing of places', () => {
    const coarse = simulatedLead({ ...GOOD, lengthM: 40 }, evenHz(50e6, 6e9, 120))
    const judgement = judged(coarse, { lengthM: 40 })
    expect(judgement.bumps).toEqual([])
    expect(judgement.notes.join(' ')).toContain('too coarse')
    expect(rule(judgement, 'length by delay').pass).toBeNull()
  })
})

describe('what a lead is to be', () => {
  test('an order line by its length definition, a tested lead tip to tip', () => {
    const tip = specOfOrder(works, works.orders.find((o) => o.order === '7119')!)!
    // 3 m tip to tip less 9.5 mm in each N connector; its planes lie 9.1 mm from the tips
    expect(tip.cutM).toBeCloseTo(2.981, 9)
    expect(tip.lengthM).toBeCloseTo(2.9818, 9)
    expect(tip.toMhz).toBe(6_000)
    const ref = specOfOrder(works, works.orders.find((o) => o.order === '7126')!)!
    expect(ref.lengthM).toBeCloseTo(1.5 * 0.3048, 6)
    expect(specOfOrder(works, works.orders.find((o) => o.kind === 'bulk')!)).toBeNull()
    const test1 = specOfTest(works, works.leadTests[0]!)
    expect(test1.lengthM).toBeCloseTo(2.9989 - 0.0182, 9)
    expect(test1.tempC).toBe(21)
  })
})

describe('plot data', () => {
  test('few points, the worst of each step among them', () => {
    const judgement = judged(simulated({ faults: [{ atM: 1.2, farad: 0.3e-12 }] }))
    const { loss, returnLossA, time } = judgement.plot
    expect(loss.length).toBeLessThanOrEqual(600)
    expect(Math.min(...returnLossA.map((p) => p.measuredDb - p.limitDb))).toBeCloseTo(
      rule(judgement, 'return loss from end A').measured! - rule(judgement, 'return loss from end A').limit!,
      9,
    )
    expect(Math.min(...time.map((p) => p.returnLossDb))).toBeLessThan(25)
  })
})
