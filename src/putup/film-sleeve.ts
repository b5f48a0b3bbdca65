import type { CoilSize } from './coil.ts'

/** The shrink film of the works and the tunnel it goes through. lines.json `oven`. */
export interface FilmOven {
  beltMMin: number
  chamberM: number
  powerKw: number
  film: {
    material: string
    thicknessUm: number
    shrinkMdPct: number
    shrinkTdPct: number
    widthsMm: number[]
    priceEurKg: number
    densityKgDm3: number
  }
}

export interface FilmSleeve {
  /** Width that the coil wants, least and most, mm. */
  widthMinMm: number
  widthMaxMm: number
  /** The narrowest roll of the works that is wide enough, mm; null where none is. */
  rollMm: number | null
  /** Cut length, in machine direction round the coil, mm. */
  lengthMm: number
  massKg: number | null
  filmEur: number | null
  /** Shrink across that this roll needs to lie tight, and what the film gives, %. */
  shrinkAcrossNeededPct: number | null
  shrinkAcrossGivenPct: number
  /** Time of one place in the chamber, s. */
  dwellS: number
  ovenKwh: number
}

/** Ease of a sleeve over half the girth: 10 to 15 % (common practice of the trade). */
const EASE_MIN = 0.1
const EASE_MAX = 0.15
/** Overlap of the seal, and room between two coils on the belt, mm. Works defaults, estimates. */
const OVERLAP_MM = 50
const BELT_GAP_MM = 100

/**
 * Film for one coil, wrapped with its machine direction round the coil, since polyethylene film shrinks 60 to 65 % along
 * and 20 % across at most (film-trade pages). Girth = once round the flat coil, 2 · (outer + width); sleeve width = half
 * girth + 10 to 15 %; cut length = girth + overlap; mass = area · thickness · density. Energy = power · time that the
 * coil takes up on the belt, warm-up not counted.
 */
export function filmSleeve(coil: CoilSize, oven: FilmOven): FilmSleeve {
  const { film } = oven
  const halfGirthMm = coil.outerMm + coil.widthMm
  const widthMinMm = halfGirthMm * (1 + EASE_MIN)
  const rollMm = film.widthsMm.filter((w) => w >= widthMinMm).sort((a, b) => a - b)[0] ?? null
  const lengthMm = 2 * halfGirthMm + OVERLAP_MM
  const massKg =
    rollMm === null
      ? null
      : (rollMm / 1000) * (lengthMm / 1000) * (film.thicknessUm / 1000) * film.densityKgDm3
  return {
    widthMinMm,
    widthMaxMm: halfGirthMm * (1 + EASE_MAX),
    rollMm,
    lengthMm,
    massKg,
    filmEur: massKg === null ? null : massKg * film.priceEurKg,
    shrinkAcrossNeededPct: rollMm === null ? null : 100 * (1 - halfGirthMm / rollMm),
    shrinkAcrossGivenPct: film.shrinkTdPct,
    dwellS: (60 * oven.chamberM) / oven.beltMMin,
    ovenKwh: (oven.powerKw * (coil.outerMm + BELT_GAP_MM)) / 1000 / oven.beltMMin / 60,
  }
}
