import fc from 'fast-check'
import { expect, it } from 'vitest'
import { eurFromMicro, microFromEur } from '../../src/quantity/money.ts'

it('gives cents back as they were written', () => {
  fc.assert(
    fc.property(fc.integer({ min: -1e9, max: 1e9 }), (cents) => {
      expect(eurFromMicro(microFromEur(cents / 100))).toBe(cents === 0 ? 0 : cents / 100)
    }),
  )
})

it('rounds a sum by at most half a cent', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 1e13 }), (micro) => {
      const cents = Math.round(eurFromMicro(micro) * 100)
      expect(Math.abs(cents * 10_000 - micro)).toBeLessThanOrEqual(5_000)
    }),
  )
})

it('adds without drift, where euro as decimals do not', () => {
  const micro = Array.from({ length: 10 }, () => microFromEur(0.1)).reduce((a, b) => a + b, 0)
  expect(eurFromMicro(micro)).toBe(1)
})
