import type { CableType } from '../cable/cable-type.ts'

/** What a barrel does to a cable depends on this much of its type; a limit that nobody has stated is null, never 0. */
export interface BentCable extends Pick<CableType, 'cable' | 'odMm' | 'foilMaterial'> {
  barrelMinMm: number | null
  bendMinSingleMm: number | null
  bendMinRepeatedMm: number | null
}

/** Smallest barrel over cable diameter for power cable. Source: table 10.1, after NEMA, in a wire and cable handbook of 1996. */
export const POWER_CABLE_BARREL_OD = {
  'nonshielded_0-2kV': 10,
  nonshielded_over2kV_other: 12,
  nonshielded_over2kV_nonjacketed: 14,
  tape_shielded: 14,
} as const

/** Smallest barrel of a power cable of that kind, mm. */
export function powerCableBarrelMm(kind: keyof typeof POWER_CABLE_BARREL_OD, odMm: number): number {
  return POWER_CABLE_BARREL_OD[kind] * odMm
}

/** One rule for the smallest barrel, and how this barrel stands to it. */
export interface BarrelLimit {
  name: string
  /** Smallest barrel diameter, mm; null = nobody has stated it. */
  leastMm: number | null
  /** Null = unknown, because the limit is. */
  kept: boolean | null
  /** A put-up that breaks it is refused; the others are shown for judgement. */
  binding: boolean
  source: string
}

/**
 * The barrel against every rule there is, the works' own first. Radii count to the inside of the bend, so a barrel is twice
 * a radius. The published rules disagree (10 to 20 diameters); only what the works has stated binds.
 */
export function barrelLimits(cable: BentCable, barrelMm: number): BarrelLimit[] {
  const twice = (radiusMm: number | null) => (radiusMm === null ? null : 2 * radiusMm)
  const foil = cable.foilMaterial !== 'none'
  const powerKind = foil ? 'tape_shielded' : 'nonshielded_0-2kV'
  const rows: Omit<BarrelLimit, 'kept'>[] = [
    {
      name: 'smallest barrel of the works',
      leastMm: cable.barrelMinMm,
      binding: true,
      source: 'cables.csv barrel_min_mm',
    },
    {
      name: 'twice the repeated bend radius',
      leastMm: twice(cable.bendMinRepeatedMm),
      binding: false,
      source: 'cables.csv bend_min_repeated_mm',
    },
    {
      name: 'twice the single bend radius',
      leastMm: twice(cable.bendMinSingleMm),
      binding: false,
      source: 'cables.csv bend_min_single_mm',
    },
    {
      name: '20 diameters: preferred bend radius of coax, 10 diameters',
      leastMm: 20 * cable.odMm,
      binding: false,
      source: 'NASA-STD-8739.4, 7.3',
    },
    {
      name: '12 diameters: smallest bend radius of coax, 6 diameters',
      leastMm: 12 * cable.odMm,
      binding: false,
      source: 'NASA-STD-8739.4, 7.3',
    },
    {
      name: `${POWER_CABLE_BARREL_OD[powerKind]} diameters: power cable, ${foil ? 'tape shielded' : 'the least row of the table'}`,
      leastMm: powerCableBarrelMm(powerKind, cable.odMm),
      binding: false,
      source: 'wire and cable handbook of 1996, table 10.1 after NEMA',
    },
  ]
  return rows.map((row) => ({ ...row, kept: row.leastMm === null ? null : barrelMm >= row.leastMm }))
}
