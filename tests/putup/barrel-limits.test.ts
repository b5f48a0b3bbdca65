import { describe, expect, it } from 'vitest'
import {
  type BentCable,
  barrelLimits,
  POWER_CABLE_BARREL_OD,
  powerCableBarrelMm,
} from '../../src/putup/barrel-limits.ts'
import { putupValue } from './putup-value.ts'

const cable: BentCable = {
  cable: 'T103-50',
  odMm: 10.3,
  foilMaterial: 'Cu',
  barrelMinMm: 210,
  bendMinSingleMm: 65,
  bendMinRepeatedMm: 105,
}

describe('barrels', () => {
  // table 10.1, after NEMA, in a wire and cable handbook of 1996
  it.each(Object.keys(POWER_CABLE_BARREL_OD) as (keyof typeof POWER_CABLE_BARREL_OD)[])(
    'of power cable, %s',
    (kind) => {
      const { inputs, expected, tolerance } = putupValue<
        { class: string; od_mm: number },
        { multiple: number; barrel_mm: number }
      >(`reel.mindrum.${kind}`)
      expect(POWER_CABLE_BARREL_OD[kind]).toBe(expected.multiple)
      expect(Math.abs(powerCableBarrelMm(kind, inputs.od_mm) - expected.barrel_mm)).toBeLessThanOrEqual(
        tolerance,
      )
    },
  )

  it('only the works binds, the published rules are shown', () => {
    const rows = barrelLimits(cable, 208)
    expect(rows.filter((r) => r.binding).map((r) => [r.leastMm, r.kept])).toEqual([[210, false]])
    // NASA-STD-8739.4, 7.3: bend radius of coax at least 6, better 10 diameters, so 12 and 20 across
    expect(rows.find((r) => r.name.startsWith('20'))).toMatchObject({ leastMm: 206, kept: true })
    expect(rows.find((r) => r.name.startsWith('12'))).toMatchObject({ kept: true })
    expect(rows.find((r) => r.name.includes('tape shielded'))?.leastMm).toBeCloseTo(144.2, 9)
  })

  it('a limit that nobody has stated is unknown, neither kept nor broken', () => {
    const bare = { ...cable, barrelMinMm: null, bendMinSingleMm: null, bendMinRepeatedMm: null }
    const unknown = barrelLimits(bare, 80).filter((r) => r.leastMm === null)
    expect(unknown.map((r) => r.kept)).toEqual([null, null, null])
  })

  it('takes the least row of the table where there is no foil', () => {
    const rows = barrelLimits({ ...cable, foilMaterial: 'none' }, 100)
    expect(rows.some((r) => r.name.startsWith('10 diameters') && r.leastMm === 103)).toBe(true)
  })
})
