import { LIGHT_SPEED_M_S } from '../cable/constants.ts'
import { lengthMOfPhase } from '../cable/phase.ts'
import { normalBelow } from '../measure/normal-distribution.ts'

/** What leads are matched by: delay in ps, or phase at one frequency in degree. */
export type MatchBy = { unit: 'ps' } | { unit: 'deg'; fMhz: number }

/** Length of cable that one ps of delay or one degree of phase is, mm: c·v·τ, or c·v/(360·f). */
export function mmPerUnit(by: MatchBy, velocity: number): number {
  return by.unit === 'ps'
    ? velocity * LIGHT_SPEED_M_S * 1e-9
    : 1_000 * lengthMOfPhase(1, velocity, by.fMhz * 1e6)
}

/**
 * Standard deviation of the length of a lead that was trimmed or got a new connector, mm: strip dimensions are held to
 * ±0.3 to 0.5 mm (common practice of the trade), taken as twice this. What a works has measured of its own leads counts instead.
 */
export const TRIM_SD_MM = 0.25

/** Probability that a length aimed into a window ends inside it: room below and above the aim, mm. */
export function hitProbability(belowMm: number, aboveMm: number, sdMm: number): number {
  return normalBelow(aboveMm / sdMm) - normalBelow(-belowMm / sdMm)
}
