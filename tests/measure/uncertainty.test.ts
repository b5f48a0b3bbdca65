import { describe, expect, it, test } from 'vitest'
import { COPPER_EXPANSION_PER_K } from '../../src/measure/counter-budget.ts'
import {
  capability,
  conformanceProbability,
  falseAcceptProbability,
  guardFactors,
  spreadOfInTolerance,
} from '../../src/measure/guard-band.ts'
import { coverageFactor } from '../../src/measure/student-distribution.ts'
import { combinedUncertainty, rectangular } from '../../src/measure/uncertainty.ts'
import { published, publishedAll } from './published.ts'

interface GaugeInputs {
  ls_mm: number
  u_ls_nm: number
  nu_ls: number
  d_nm: number
  u_d_components_nm: [number, number][]
  alpha_s_perC: number
  theta_mean_C: number
  dalpha_half: number
  dalpha_nu: number
  dtheta_half_C: number
  dtheta_nu: number
}

const part = ([standard, freedom]: [number, number]) => ({ standard, freedom })

describe('the end gauge of GUM H.1', () => {
  const { inputs, expected, tolerance } = published<GaugeInputs, Record<string, number>>('unc.gum.h1')
  const allowed = tolerance as unknown as Record<string, number>
  const difference = combinedUncertainty(inputs.u_d_components_nm.map(part))
  const lengthNm = inputs.ls_mm * 1e6
  const all = combinedUncertainty([
    { standard: inputs.u_ls_nm, freedom: inputs.nu_ls },
    difference,
    {
      standard: lengthNm * Math.abs(inputs.theta_mean_C) * rectangular(inputs.dalpha_half),
      freedom: inputs.dalpha_nu,
    },
    {
      standard: lengthNm * inputs.alpha_s_perC * rectangular(inputs.dtheta_half_C),
      freedom: inputs.dtheta_nu,
    },
  ])

  it('has its standard uncertainty, degrees of freedom and expanded uncertainty', () => {
    expect(inputs.ls_mm + inputs.d_nm * 1e-6).toBeCloseTo(expected.l_mm!, 6)
    expect(Math.abs(all.standard - expected.u_nm!)).toBeLessThanOrEqual(allowed.u_nm!)
    expect(Math.abs(all.freedom - expected.nu_eff!)).toBeLessThanOrEqual(allowed.nu_eff!)
    const expanded = coverageFactor(0.95, all.freedom) * all.standard
    expect(Math.abs(expanded - expected.U95_nm!)).toBeLessThanOrEqual(allowed.U95_nm!)
  })

  it('has the published parts', () => {
    const ud = published<unknown, number>('unc.gum.h1.ud')
    expect(Math.abs(difference.standard - ud.expected)).toBeLessThanOrEqual(ud.tolerance)
    const nu = published<unknown, number>('unc.gum.h1.nu_d')
    expect(Math.abs(difference.freedom - nu.expected)).toBeLessThanOrEqual(nu.tolerance)
  })
})

it('parts that nothing doubts have no end of degrees of freedom', () => {
  expect(
    combinedUncertainty([
      { standard: 3, freedom: Infinity },
      { standard: 4, freedom: Infinity },
    ]),
  ).toEqual({
    standard: 5,
    freedom: Infinity,
  })
  expect(combinedUncertainty([])).toEqual({ standard: 0, freedom: Infinity })
})

it('the expansion of copper in the budget agrees with NIST TN 1900 example E13', () => {
  const { inputs, expected, tolerance } = published<Record<string, number>, { alpha: number }>(
    'unc.tn1900.e13',
  )
  const { L0_m: from, L1_m: to, T0_K: cold, T1_K: hot } = inputs
  const alpha = (to! - from!) / (from! * (hot! - cold!))
  expect(Math.abs(alpha - expected.alpha)).toBeLessThanOrEqual(tolerance)
  // its standard uncertainty there: 1.76e-6
  expect(Math.abs(COPPER_EXPANSION_PER_K - expected.alpha)).toBeLessThan(1.76e-6)
})

describe('guard bands and risks', () => {
  const risks = publishedAll<{ itp: number; sigma_ratio: number }, number>('unc.risk.pfa')
  test.each(risks)('$id', ({ inputs, expected, tolerance }) => {
    const spread = spreadOfInTolerance(inputs.itp)
    const risk = 100 * falseAcceptProbability(spread, spread / inputs.sigma_ratio)
    expect(Math.abs(risk - expected)).toBeLessThanOrEqual(tolerance)
  })

  it('unc.risk.sl2p5.tur4: a limit at 2.5 standard deviations, tolerance four times the expanded uncertainty', () => {
    const { inputs, expected, tolerance } = published<{ SL: number; tur: number }, number>(
      'unc.risk.sl2p5.tur4',
    )
    // expanded uncertainty is two standard ones
    const risk = falseAcceptProbability(1 / inputs.SL, 1 / inputs.tur / 2)
    expect(Math.abs(risk - expected)).toBeLessThanOrEqual(tolerance)
  })

  const factors = publishedAll<{ tur: number }, Record<string, number>>('unc.guard')
  test.each(factors)('$id', ({ inputs, expected, tolerance }) => {
    for (const [name, factor] of Object.entries(guardFactors(inputs.tur)))
      expect(Math.abs(factor - expected[name]!)).toBeLessThanOrEqual(tolerance)
  })

  it('unc.jcgm106.ex2 (from memory): probability that a breaking pressure conforms', () => {
    const { inputs, expected, tolerance } = published<Record<string, number>, number>('unc.jcgm106.ex2')
    const probability = conformanceProbability(inputs.y!, inputs.u!, { lower: inputs.lower! })
    expect(Math.abs(probability - expected)).toBeLessThanOrEqual(tolerance)
  })

  it('spc.nist.capability and unc.cpk.shifted', () => {
    const nist = published<Record<string, number>, Record<string, number>>('spc.nist.capability')
    const { usl, lsl, mean, sd } = nist.inputs
    const found = capability(mean!, sd!, lsl!, usl!)
    expect(Math.abs(found.cp - nist.expected.cp!)).toBeLessThanOrEqual(nist.tolerance)
    expect(Math.abs(found.cpk - nist.expected.cpk!)).toBeLessThanOrEqual(nist.tolerance)
    const shifted = published<Record<string, number>, Record<string, number>>('unc.cpk.shifted')
    const off = capability(shifted.inputs.mean!, shifted.inputs.sd!, shifted.inputs.lo!, shifted.inputs.hi!)
    expect(Math.abs(off.cpk - shifted.expected.cpk!)).toBeLessThanOrEqual(shifted.tolerance)
    expect(Math.abs(off.outside - shifted.expected.risk!)).toBeLessThanOrEqual(shifted.tolerance)
  })
})
