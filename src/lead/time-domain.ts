import { fourier, powerOfTwo } from './fourier.ts'
import { halfHeightWidth, kaiserWindow } from './kaiser-window.ts'

/** One parameter over evenly spaced frequencies, real and imaginary in turn. */
export interface EvenSweep {
  firstHz: number
  stepHz: number
  values: Float64Array
}

/** Response to a band-limited impulse: a reflection that does not change with frequency stands at its own size. */
export interface ImpulseResponse {
  /** Seconds between samples; there and back for a reflection. */
  stepS: number
  re: Float64Array
  im: Float64Array
  /** Width at half height of one bump, s: what is nearer stands as one. */
  resolutionS: number
  /** Beyond this time the response repeats itself, s. */
  aliasS: number
}

/** Unevenness of the frequency steps that is taken for rounding. */
const EVEN = 1e-3

/** Points below this say nothing in time. */
const FEWEST_POINTS = 16

/** The sweep where its steps are even; null where they are not, or where there are too few points. */
export function evenSweep(fHz: Float64Array, values: Float64Array): EvenSweep | null {
  const count = fHz.length
  if (count < FEWEST_POINTS) return null
  const firstHz = fHz[0]!
  const stepHz = (fHz[count - 1]! - firstHz) / (count - 1)
  for (let i = 0; i < count; i++) if (Math.abs(fHz[i]! - firstHz - i * stepHz) > EVEN * stepHz) return null
  return { firstHz, stepHz, values }
}

/** How finely the response is drawn: samples for each one the data carry. A gate needs only room for its edges. */
const PADDING = 4
const GATE_PADDING = 2

/**
 * Inverse Fourier transform of the band under Kaiser's window, no extrapolation to direct current: the size of a bump is
 * right, its sign is not told.
 */
export function impulseResponse(sweep: EvenSweep): ImpulseResponse {
  const count = sweep.values.length / 2
  const size = powerOfTwo(PADDING * count)
  const window = kaiserWindow(count)
  const whole = window.reduce((sum, w) => sum + w, 0)
  const re = new Float64Array(size)
  const im = new Float64Array(size)
  for (let k = 0; k < count; k++) {
    re[k] = (sweep.values[2 * k]! * window[k]!) / whole
    im[k] = (sweep.values[2 * k + 1]! * window[k]!) / whole
  }
  fourier(re, im, 1)
  return {
    stepS: 1 / (size * sweep.stepHz),
    re,
    im,
    resolutionS: halfHeightWidth() / (sweep.stepHz * (count - 1)),
    aliasS: 1 / sweep.stepHz,
  }
}

/**
 * What lies between two times of a sweep, as frequencies again: the time gate. Rectangular in the middle, its edges
 * softened over `edgeS` on each side; divided by the same gate put on a flat sweep, which takes back the fall at the
 * ends of the band (the usual renormalisation).
 */
export function gated(sweep: EvenSweep, fromS: number, toS: number, edgeS: number): EvenSweep {
  const count = sweep.values.length / 2
  const size = powerOfTwo(GATE_PADDING * count)
  const gate = gateShape(size, 1 / (size * sweep.stepHz), { fromS, toS, edgeS })
  const centreHz = sweep.firstHz + (sweep.stepHz * (count - 1)) / 2
  const middleS = (fromS + toS) / 2
  const pass = (values: Float64Array) => throughGate(values, size, gate)
  const kept = pass(sweep.values)
  // the flat sweep is that of a reflection in the middle of the gate
  const flat = new Float64Array(2 * count)
  for (let k = 0; k < count; k++) {
    const angle = -2 * Math.PI * (sweep.firstHz + k * sweep.stepHz - centreHz) * middleS
    flat[2 * k] = Math.cos(angle)
    flat[2 * k + 1] = Math.sin(angle)
  }
  const reference = pass(flat)
  const values = new Float64Array(2 * count)
  for (let k = 0; k < count; k++) {
    const share = Math.hypot(reference[2 * k]!, reference[2 * k + 1]!)
    values[2 * k] = kept[2 * k]! / share
    values[2 * k + 1] = kept[2 * k + 1]! / share
  }
  return { ...sweep, values }
}

function gateShape(
  size: number,
  stepS: number,
  { fromS, toS, edgeS }: { fromS: number; toS: number; edgeS: number },
) {
  const gate = new Float64Array(size)
  for (let i = 0; i < size; i++) {
    const inside = Math.min(i * stepS - fromS, toS - i * stepS)
    const share = Math.min(1, Math.max(0, (inside + edgeS / 2) / edgeS))
    gate[i] = 0.5 - 0.5 * Math.cos(Math.PI * share)
  }
  return gate
}

function throughGate(values: Float64Array, size: number, gate: Float64Array): Float64Array {
  const re = new Float64Array(size)
  const im = new Float64Array(size)
  const count = values.length / 2
  for (let k = 0; k < count; k++) {
    re[k] = values[2 * k]!
    im[k] = values[2 * k + 1]!
  }
  fourier(re, im, 1)
  for (let i = 0; i < size; i++) {
    re[i] = re[i]! * gate[i]!
    im[i] = im[i]! * gate[i]!
  }
  fourier(re, im, -1)
  const out = new Float64Array(2 * count)
  for (let k = 0; k < count; k++) {
    out[2 * k] = re[k]! / size
    out[2 * k + 1] = im[k]! / size
  }
  return out
}
