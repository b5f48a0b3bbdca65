import { stripLayout } from '../../drawing/strip-layout.ts'
import type { LengthUm } from '../../quantity/length.ts'
import type { Drum } from '../../strip/drum.ts'
import type { UsableDrum } from '../../strip/usable.ts'
import { TEXT_SIZE_PX } from '../parts/drawing-size.ts'

/** Length by weight, µm: (gross − tare) / mass per length; kg/km is also µg/µm·10⁻³, so kg / (kg/km) is km = 10⁹ µm. */
export function weighedUm(drum: Drum, massKgKm: number): LengthUm {
  return Math.max(0, Math.round(((drum.grossKg - drum.tareKg) / massKgKm) * 1e9))
}

export function longestCleanUm(usable: UsableDrum): LengthUm {
  return usable.clean.reduce((longest, s) => Math.max(longest, s.toUm - s.fromUm), 0)
}

const PROBE_PX = 10_000
const probe = stripLayout(PROBE_PX, TEXT_SIZE_PX, 1)
/** Room beside the band on either side of a drawing. */
const GUTTERS_PX = PROBE_PX - (probe.right - probe.left)
/** The drawing makes no band narrower than this. */
const LEAST_BAND_PX = TEXT_SIZE_PX

export interface StripWidth {
  widthPx: number
  /** False where the strip is too short to be drawn to the scale of the others. */
  toScale: boolean
}

/** Width of a drawing such that all strips shown stand to one scale and the longest fills the room. */
export function stripWidth(lengthUm: number, longestUm: number, roomPx: number, zoom: number): StripWidth {
  const bandPx = (Math.max(LEAST_ROOM_PX, roomPx - GUTTERS_PX) * zoom * lengthUm) / Math.max(1, longestUm)
  return {
    widthPx: Math.ceil(GUTTERS_PX + Math.max(LEAST_BAND_PX, bandPx)),
    toScale: bandPx >= LEAST_BAND_PX,
  }
}

const LEAST_ROOM_PX = 200
