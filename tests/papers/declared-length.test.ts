import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { declaredFigures, declaredText } from '../../src/dispatch/declared-length.ts'
import { needUmFromTyped, umFromM } from '../../src/quantity/length.ts'

describe('declared length', () => {
  test('a foot is 0.3048 m exactly (16 CFR 500.19): what was ordered in feet is declared in whole feet', () => {
    expect(declaredFigures(needUmFromTyped('328', 'ft'))).toEqual({ m: '99.97', ft: '328' })
    expect(declaredFigures(needUmFromTyped('1000', 'ft'))).toEqual({ m: '304.8', ft: '1000' })
    expect(declaredFigures(needUmFromTyped('100', 'ft'))).toEqual({ m: '30.48', ft: '100' })
  })

  test('150 m are 492.1 ft, never 500 (NIST sheet on dual declarations: the converted value is rounded down)', () => {
    expect(declaredFigures(umFromM(150))).toEqual({ m: '150', ft: '492.12' })
    expect(declaredFigures(umFromM(305))).toEqual({ m: '305', ft: '1000.65' })
  })

  test('a metre is 3.28084 ft to the accuracy of 16 CFR 500.19, rounded down to two decimals', () => {
    expect(declaredFigures(umFromM(1)).ft).toBe('3.28')
  })

  test('neither unit ever overstates the lower bound, and each is as near as its decimals allow', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 90_000_000_000 }), (lengthUm) => {
        const { m, ft } = declaredFigures(lengthUm)
        // exact: the figures again as whole thousandths and hundredths
        const metresUm = BigInt(Math.round(Number(m) * 1000)) * 1000n
        const feetUm100 = BigInt(Math.round(Number(ft) * 100)) * 304_800n
        expect(metresUm <= BigInt(lengthUm)).toBe(true)
        expect(feetUm100 <= BigInt(lengthUm) * 100n).toBe(true)
        expect(BigInt(lengthUm) * 100n - feetUm100 < 304_800n).toBe(true)
        expect(BigInt(lengthUm) - metresUm < 10_000n).toBe(true)
      }),
    )
  })

  test('the template and decimal mark of the market are kept to the letter', () => {
    expect(declaredText(umFromM(37.5), { labelTemplate: '{m} m', decimalMark: ',' })).toBe('37,5 m')
    expect(declaredText(umFromM(100), { labelTemplate: '{m} m / {ft} ft', decimalMark: '.' })).toBe(
      '100 m / 328.08 ft',
    )
    expect(declaredText(umFromM(1), { labelTemplate: "$& {m} m $' {ft} {m}", decimalMark: '.' })).toBe(
      "$& 1 m $' 3.28 1",
    )
  })
})
