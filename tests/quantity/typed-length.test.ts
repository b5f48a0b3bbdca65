import { describe, expect, it } from 'vitest'
import { typedLength } from '../../src/quantity/typed-length.ts'

describe('a typed length', () => {
  it.each([
    ['250m', 250_000_000, 'm'],
    ['250 m', 250_000_000, 'm'],
    ['250.5 m', 250_500_000, 'm'],
    ['250,5 m', 250_500_000, 'm'],
    ['0.250 m', 250_000, 'm'],
    // 16 CFR 500.19: 1 ft = 30.48 cm
    ['800ft', 243_840_000, 'ft'],
    ['800 feet', 243_840_000, 'ft'],
    ["1'", 304_800, 'ft'],
    // finer than a micrometre: a need goes up
    ['0.0000001m', 1, 'm'],
    ['100000m', 100_000_000_000, 'm'],
  ])('%s', (text, lengthUm, unit) => {
    expect(typedLength(text)).toEqual({ lengthUm, unit })
  })

  it.each([
    ['250', /has no unit; write 250m or 250ft/],
    ['1,000m', /may be 1000 or 1 and a fraction/],
    ['1.250 ft', /may be 1250 or 1 and a fraction/],
    ['0m', /above 0/],
    ['-5m', /such as 250m/],
    ['1e3m', /such as 250m/],
    ['1.000,5 m', /such as 250m/],
    ['m', /such as 250m/],
    ['', /such as 250m/],
    ['250 km', /such as 250m/],
    ['100001m', /at most 100000 m/],
    [`${'9'.repeat(400)}m`, /at most 100000 m/],
  ])('%j is refused', (text, wrong) => {
    expect(typedLength(text)).toEqual({ wrong: expect.stringMatching(wrong) })
  })
})
