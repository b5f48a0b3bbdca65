import type { LengthUm } from '../../quantity/length.ts'
import type { Drum } from '../../strip/drum.ts'
import type { UsableDrum } from '../../strip/usable.ts'

/** Length by weight, µm: (gross − tare) / mass per length; kg/km is also µg/µm·10⁻³, so kg / (kg/km) is km = 10⁹ µm. */
export function weighedUm(drum: Drum, massKgKm: number): LengthUm {
  return Math.max(0, Math.round(((drum.grossKg - drum.tareKg) / massKgKm) * 1e9))
}

export function longestCleanUm(usable: UsableDrum): LengthUm {
  return usable.clean.reduce((longest, s) => Math.max(longest, s.toUm - s.fromUm), 0)
}

/** Room beside the band on either side of a drawing, as the drawing keeps it: 4.6 letter sizes of 14 px. */
const GUTTERS_PX = 2 * 4.6 * 14

/** Width of a drawing such that all strips shown stand to one scale and the longest fills the room. */
export function stripWidthPx(lengthUm: number, longestUm: number, roomPx: number, zoom: number): number {
  const bandPx = Math.max(200, roomPx - GUTTERS_PX) * zoom
  return Math.ceil(GUTTERS_PX + Math.max(4, (bandPx * lengthUm) / Math.max(1, longestUm)))
}
