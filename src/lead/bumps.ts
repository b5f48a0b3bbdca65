import { LIGHT_SPEED_M_S } from '../cable/constants.ts'
import { kaiserWindow } from './kaiser-window.ts'
import { type EvenSweep, type ImpulseResponse, impulseResponse } from './time-domain.ts'

/** One place from which a lead reflects. */
export interface Bump {
  /** From the reference plane at which it was measured, m. */
  atM: number
  /** Half of what two bumps must lie apart to stand as two, m: the place is not surer than this. */
  resolutionM: number
  /** Size of the reflection as it arrives back, and at its place, where the loss of the way there and back is taken off. */
  gamma: number
  gammaAtPlace: number
}

/** What the finder must know of the line. */
export interface BumpLine {
  velocity: number
  /** Length between the reference planes, m; beyond it there is nothing but echoes. */
  lengthM: number
  /** Attenuation, Np/m at a frequency. */
  alphaNpM(fHz: number): number
}

/** A bump smaller than this share of the largest drowns in its side lobes (Kaiser β 6: −44 dB, with 6 dB in hand). */
const SIDE_LOBES = 10 ** (-38 / 20)

/** Return loss beyond which a bump is not spoken of, dB: cable and connectors are not better. */
const QUIETEST_DB = 50

/** Where the lead reflects, nearest first. */
export function findBumps(sweep: EvenSweep, line: BumpLine): { bumps: Bump[]; response: ImpulseResponse } {
  const response = impulseResponse(sweep)
  const sizes = response.re.map((re, i) => Math.sqrt(re * re + response.im[i]! * response.im[i]!))
  const metresPerStep = (line.velocity * LIGHT_SPEED_M_S * response.stepS) / 2
  const reachM = Math.min(
    line.lengthM * 1.05 + 4 * metresOf(line, response.resolutionS),
    metresOf(line, response.aliasS) * 0.9,
  )
  const last = Math.min(sizes.length - 2, Math.ceil(reachM / metresPerStep))
  const largest = sizes.slice(0, last + 1).reduce((most, size) => Math.max(most, size), 0)
  const least = Math.max(largest * SIDE_LOBES, 10 ** (-QUIETEST_DB / 20))
  const near = Math.ceil(metresOf(line, response.resolutionS) / metresPerStep)
  const bumps: Bump[] = []
  // times before nought stand at the end of the response: a bump at the very plane may have its top there
  for (let i = -near; i <= last; i++) {
    const at = (k: number) => sizes[(k + sizes.length) % sizes.length]!
    if (!(at(i) >= least && at(i) > at(i - 1) && at(i) >= at(i + 1))) continue
    const place = i + vertex(at(i - 1), at(i), at(i + 1))
    bumps.push(bumpAt(sweep, line, response, Math.max(0, place * metresPerStep), at(i)))
  }
  return { bumps: bumps.filter((bump) => !isLobe(bump, bumps)), response }
}

const metresOf = (line: BumpLine, seconds: number): number => (line.velocity * LIGHT_SPEED_M_S * seconds) / 2

/** Top of the parabola through three samples, in samples from the middle one. */
function vertex(before: number, top: number, behind: number): number {
  const bend = before - 2 * top + behind
  return bend === 0 ? 0 : (0.5 * (before - behind)) / bend
}

/** A weak bump close beside one a hundred times as strong is its side lobe. */
function isLobe(bump: Bump, all: Bump[]): boolean {
  return all.some(
    (other) => other.gamma > bump.gamma * 30 && Math.abs(other.atM - bump.atM) < 6 * other.resolutionM,
  )
}

/** Points of the band that are enough to weigh the loss of the way. */
const LOSS_SAMPLES = 200

/**
 * Loss that falls with frequency narrows the band that comes back: what is left of it widens the bump. The size at the place
 * is the size here over the mean of e^(−2αx) under the window.
 */
function bumpAt(
  sweep: EvenSweep,
  line: BumpLine,
  response: ImpulseResponse,
  atM: number,
  gamma: number,
): Bump {
  const bandHz = sweep.stepHz * (sweep.values.length / 2 - 1)
  const window = kaiserWindow(LOSS_SAMPLES)
  let flat = 0
  let flatSquare = 0
  let lossy = 0
  let lossySquare = 0
  for (let k = 0; k < LOSS_SAMPLES; k++) {
    const fHz = sweep.firstHz + (bandHz * k) / (LOSS_SAMPLES - 1)
    const left = window[k]! * Math.exp(-2 * line.alphaNpM(fHz) * atM)
    flat += window[k]!
    flatSquare += window[k]! ** 2
    lossy += left
    lossySquare += left * left
  }
  const narrowing = (flat * flat) / flatSquare / ((lossy * lossy) / lossySquare)
  return {
    atM,
    resolutionM: (metresOf(line, response.resolutionS) * Math.max(1, narrowing)) / 2,
    gamma,
    gammaAtPlace: Math.min(1, gamma / (lossy / flat)),
  }
}
