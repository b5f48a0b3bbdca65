import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { chained, roomIn } from '../../src/plan/stretch-chain.ts'

/** Some stretches whose edges go inwards, and lengths that may be too long for them. */
const anyChain = fc
  .array(fc.record({ step: fc.nat(30), long: fc.nat(60), lengthUm: fc.nat(40) }), {
    minLength: 1,
    maxLength: 6,
  })
  .map((all) => {
    let fromUm = 0
    let toUm = 0
    const stretches = all.map(({ step, long }) => {
      fromUm += step
      toUm = Math.max(toUm, fromUm + long)
      return { fromUm, toUm }
    })
    return { stretches, lengthsUm: all.map((a) => a.lengthUm) }
  })

/** By hand: one after the other, each begun where it may and where the one before has ended. */
function allLieInside(stretches: { fromUm: number; toUm: number }[], lengthsUm: number[]): boolean {
  let atUm = 0
  return stretches.every(({ fromUm, toUm }, s) => {
    atUm = Math.max(atUm, fromUm) + lengthsUm[s]!
    return atUm <= toUm
  })
}

describe('stretches that overlap', () => {
  it('have room for so much more in each and not a micrometre beyond', () => {
    fc.assert(
      fc.property(anyChain, ({ stretches, lengthsUm }) => {
        const places = chained(stretches, lengthsUm)
        fc.pre(allLieInside(stretches, lengthsUm))
        for (const [s, { roomUm }] of places.entries()) {
          expect(roomUm).toBeGreaterThanOrEqual(0)
          const filled = lengthsUm.map((um, k) => (k === s ? um + roomUm : um))
          expect(allLieInside(stretches, filled)).toBe(true)
          filled[s] = filled[s]! + 1
          expect(allLieInside(stretches, filled)).toBe(false)
        }
      }),
    )
  })

  it('have the same room when only one of them is asked about', () => {
    fc.assert(
      fc.property(anyChain, ({ stretches, lengthsUm }) => {
        for (const [s, { roomUm }] of chained(stretches, lengthsUm).entries())
          expect(roomIn(stretches, s, lengthsUm)).toBe(roomUm)
      }),
    )
  })

  it('say by a room below nought that something does not lie inside', () => {
    fc.assert(
      fc.property(anyChain, ({ stretches, lengthsUm }) => {
        const over = chained(stretches, lengthsUm).some((place) => place.roomUm < 0)
        expect(over).toBe(!allLieInside(stretches, lengthsUm))
      }),
    )
  })

  it('begin where the one before ends: 40 m before a fault at 50 m, 45 m across it, 20 m after it', () => {
    const stretches = [
      { fromUm: 0, toUm: 49_000_000 },
      { fromUm: 0, toUm: 110_000_000 },
      { fromUm: 51_000_000, toUm: 110_000_000 },
    ]
    expect(chained(stretches, [40_000_000, 45_000_000, 20_000_000])).toEqual([
      { fromUm: 0, roomUm: 5_000_000 },
      { fromUm: 40_000_000, roomUm: 5_000_000 },
      { fromUm: 85_000_000, roomUm: 5_000_000 },
    ])
  })
})
