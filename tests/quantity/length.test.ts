import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { mFromUm, needUmFromTyped, UM_PER_FT, UM_PER_M, umFromM } from '../../src/quantity/length.ts'
import { checkValue } from '../data/check-value.ts'

describe('published conversions', () => {
  // 16 CFR 500.19
  it('takes a foot as exactly 30.48 cm', () => {
    const { expected } = checkValue<{ ft: number }, number>('len.conv.foot-cm')
    expect(needUmFromTyped('1', 'ft')).toBe(expected * 10_000)
  })

  // 16 CFR 500.19
  it('holds an inch, a twelfth of a foot, in whole micrometres', () => {
    const { expected } = checkValue<{ in: number }, number>('len.conv.inch-cm')
    expect(UM_PER_FT / 12).toBe(expected * 10_000)
  })

  // 16 CFR 500.19
  it('finds as many feet in a metre as the law rounds to', () => {
    const { expected, tolerance } = checkValue<{ m: number }, number>('len.conv.metre-ft')
    expect(Math.abs(UM_PER_M / UM_PER_FT - expected)).toBeLessThanOrEqual(tolerance)
  })

  // NIST SP 811 clause B.7.2
  it('converts 36 ft without rounding', () => {
    const { inputs, expected } = checkValue<{ ft: number }, { exact_m: number }>('len.sp811.36ft')
    expect(needUmFromTyped(String(inputs.ft), 'ft')).toBe(expected.exact_m * UM_PER_M)
  })
})

const digits = (min: number, max: number) =>
  fc.array(fc.integer({ min: 0, max: 9 }), { minLength: min, maxLength: max }).map((list) => list.join(''))
const unit = fc.constantFrom('m' as const, 'ft' as const)
const umPer = { m: BigInt(UM_PER_M), ft: BigInt(UM_PER_FT) }

describe('a length as it is typed', () => {
  it('is the least whole number of micrometres that is not below it', () => {
    fc.assert(
      fc.property(digits(1, 5), digits(0, 12), unit, (whole, decimals, u) => {
        const um = BigInt(needUmFromTyped(decimals === '' ? whole : `${whole}.${decimals}`, u))
        const power = 10n ** BigInt(decimals.length)
        const exact = BigInt(whole + decimals) * umPer[u]
        expect(um * power >= exact).toBe(true)
        expect((um - 1n) * power < exact).toBe(true)
      }),
    )
  })

  it('is the same with an exponent as without', () => {
    fc.assert(
      fc.property(
        digits(1, 4),
        digits(4, 8),
        fc.integer({ min: -3, max: 3 }),
        unit,
        (whole, decimals, e, u) => {
          const all = `0000${whole}${decimals}`
          const point = 4 + whole.length + e
          const moved = `${all.slice(0, point)}.${all.slice(point)}`
          expect(needUmFromTyped(`${whole}.${decimals}e${e}`, u)).toBe(needUmFromTyped(moved, u))
        },
      ),
    )
  })

  it('is a whole number of micrometres however fine or coarse it is written', () => {
    expect(needUmFromTyped('1e-60', 'm')).toBe(1)
    expect(needUmFromTyped('.5', 'ft')).toBe(152_400)
    expect(needUmFromTyped('0.0000001', 'm')).toBe(1)
  })

  it('is no number where no number was typed', () => {
    for (const text of ['', '.', '1,5', '0x10', 'NaN', '1 m', 'e3', '--1'])
      expect(needUmFromTyped(text, 'm')).toBeNaN()
  })
})

describe('metres in a file', () => {
  it('come back as the same micrometres, up to a million kilometres', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 1e15 }), (um) => {
        expect(umFromM(mFromUm(um))).toBe(um)
      }),
    )
  })

  it('come back as the same micrometres when they were printed as text between', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e13 }), (um) => {
        expect(needUmFromTyped(String(mFromUm(um)), 'm')).toBe(um)
      }),
    )
  })
})
