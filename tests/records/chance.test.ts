import { describe, expect, it } from 'vitest'
import { agreedBelief, chanceBelow, lengthBelief, shortChance } from '../../src/ledger/complaint-chance.ts'

const M = 1_000_000

describe('probability that a piece is short', () => {
  // Standard normal table, NIST/SEMATECH e-Handbook 1.3.6.7.1: area from 0 to z 0.45053 (1.65), 0.47725 (2.00), 0.34134 (1.00)
  it.each([
    [1, 0.84134],
    [1.65, 0.95053],
    [2, 0.97725],
    [-1, 0.15866],
    [-2, 0.02275],
    [0, 0.5],
  ])('a limit %d standard deviations above the mean: %d', (z, probability) => {
    const belief = { meanUm: 100 * M, standardUm: 50_000 }
    expect(chanceBelow(belief, 100 * M + z * 50_000)).toBeCloseTo(probability, 5)
  })

  it('without any uncertainty is certain one way or the other', () => {
    const belief = { meanUm: 100 * M, standardUm: 0 }
    expect(chanceBelow(belief, 100 * M)).toBe(0)
    expect(chanceBelow(belief, 100 * M + 1)).toBe(1)
  })

  it('takes the error of the counter out of the reading and adds its uncertainty by squares', () => {
    // by hand: 100.2/1.002 = 100 m; 100 m·0.0006/1.002 = 59 880 µm; with 80 000 µm: √(59 880² + 80 000²) = 99 928 µm
    const piece = { declaredUm: 100 * M, measuredUm: 99 * M, uncUm: 80_000, counterM: 100.2 }
    const belief = lengthBelief(piece, { errorRatio: 0.002, standardRatio: 0.0006 })
    expect(belief.meanUm).toBeCloseTo(100 * M, 3)
    expect(belief.standardUm).toBeCloseTo(99_928, 0)
  })

  it('without a reading keeps to the length that was booked', () => {
    const piece = { declaredUm: 100 * M, measuredUm: 100.1 * M, uncUm: 80_000, counterM: null }
    expect(lengthBelief(piece, { errorRatio: 0.5, standardRatio: 0.5 })).toEqual({
      meanUm: 100.1 * M,
      standardUm: 80_000,
    })
  })

  it('weighs the customer in by 1/u²', () => {
    // by hand: u 0.3 and 0.4 m, weights 16:9; (16·100 + 9·99)/25 = 99.64 m; 0.3·0.4/0.5 = 0.24 m
    const agreed = agreedBelief({ meanUm: 100, standardUm: 0.3 }, { meanUm: 99, standardUm: 0.4 })
    expect(agreed.meanUm).toBeCloseTo(99.64, 10)
    expect(agreed.standardUm).toBeCloseTo(0.24, 10)
  })

  it('an exact customer outweighs everything, and ours outweighs a vague one', () => {
    const ours = { meanUm: 100 * M, standardUm: 100_000 }
    expect(agreedBelief(ours, { meanUm: 99 * M, standardUm: 0 }).meanUm).toBe(99 * M)
    expect(agreedBelief(ours, { meanUm: 90 * M, standardUm: 1e9 }).meanUm).toBeCloseTo(100 * M, -3)
  })

  it('says how far the two lie apart', () => {
    const piece = { declaredUm: 100 * M, measuredUm: 100 * M, uncUm: 300_000, counterM: null }
    const chance = shortChance(piece, null, { meanUm: 98 * M, standardUm: 400_000 })
    // 2 m over √(0.3² + 0.4²) = 0.5 m
    expect(chance.apart).toBeCloseTo(4, 10)
    expect(chance.beforeChance).toBeCloseTo(0.5, 10)
    expect(chance.afterChance).toBeGreaterThan(0.99)
  })
})
