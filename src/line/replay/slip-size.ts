import type { Slip } from './slip.ts'
import { type StepWitness, windowSd } from './witness.ts'

/** A stretch of steps of a piece in which the counter seems to miss cable (sign 1) or to show too much (−1). */
export interface Window {
  from: number
  to: number
  sign: number
}

/** Less than this is within what a stop scatters anyway, m. */
export const LEAST_M = 0.005
/** A slip whose amount is less than so many standard deviations of itself is none. */
const SURELY = 4
/** Without the payoff the layers' fit takes up to half of a slip for their own; standard deviation as a ratio. By simulation. */
const HIDDEN_RATIO = 0.5
/** Samples beyond the ends of a slip that its amount is summed over. */
const BEYOND = 3

/**
 * The stretch within the region that stands out most: slip grows with the length that passes, so the ends are where
 * (Σ missed · length)² / Σ length² is greatest, a matched filter for a constant share.
 */
export function measuredSlip(
  region: Window,
  turns: StepWitness | null,
  payoff: StepWitness | null,
  travelM: Float64Array,
  offset: number,
): Slip | null {
  const steps = (turns ?? payoff)!.missedM.length
  const sdT = turns ? windowSd(turns, Math.min(10, steps >> 1)) : Number.POSITIVE_INFINITY
  const sdP = payoff ? windowSd(payoff, Math.min(10, steps >> 1)) : Number.POSITIVE_INFINITY
  const [low, high] = [Math.max(0, region.from - 5), Math.min(steps, region.to + 5)]
  const count = high - low
  const along = new Float64Array(count + 1)
  const power = new Float64Array(count + 1)
  for (let i = 0; i < count; i++) {
    const length = Math.max(0, travelM[offset + low + i + 1]! - travelM[offset + low + i]!) + 0.002
    const t = turns?.missedM[low + i] ?? 0
    const p = payoff?.missedM[low + i] ?? 0
    along[i + 1] = along[i]! + fused(t, sdT, p, sdP).value * length
    power[i + 1] = power[i]! + length * length
  }
  const best = standingOut(along, power, region.sign)
  const [from, to] = [low + best.from, low + best.to]
  // the amount is summed a little beyond the ends, so that an end that is a sample late loses nothing
  const [wideFrom, wideTo] = [Math.max(0, from - BEYOND), Math.min(steps, to + BEYOND)]
  const [t, p] = [sumOf(turns, wideFrom, wideTo), sumOf(payoff, wideFrom, wideTo)]
  const span = Math.min(wideTo - wideFrom, steps >> 1)
  const lastT = turns
    ? Math.hypot(windowSd(turns, span), windingSd(turns, travelM, offset, wideFrom, wideTo))
    : Number.POSITIVE_INFINITY
  const lastP = payoff ? windowSd(payoff, span) : Number.POSITIVE_INFINITY
  const { value, sd } = fused(t, lastT, p, lastP)
  const by = turns && payoff ? 'both' : turns ? 'turns' : 'payoff'
  const uncertaintyM = by === 'turns' ? Math.hypot(sd, HIDDEN_RATIO * value) : sd
  // cable does not run back: a counter cannot show more too much than it showed
  const countedM = travelM[offset + to]! - travelM[offset + from]!
  if (Math.abs(value) < Math.max(LEAST_M, SURELY * sd) || value < -0.9 * countedM) return null
  return { from: offset + from, to: offset + to, missedM: value, uncertaintyM, by }
}

/** Ends of the stretch with the greatest score; searched coarsely where the region is long, then finely about the best. */
function standingOut(along: Float64Array, power: Float64Array, sign: number): { from: number; to: number } {
  const count = along.length - 1
  const best = { score: 0, from: 0, to: count }
  const look = (fromLow: number, fromHigh: number, toLow: number, toHigh: number, stride: number) => {
    for (let a = Math.max(0, fromLow); a <= fromHigh; a += stride)
      for (let b = Math.max(a + 2, toLow); b <= Math.min(count, toHigh); b += stride) {
        const score = (sign * (along[b]! - along[a]!)) / Math.sqrt(power[b]! - power[a]!)
        if (score > best.score) Object.assign(best, { score, from: a, to: b })
      }
  }
  const stride = Math.max(1, Math.ceil(count / 300))
  look(0, count, 0, count, stride)
  const { from, to } = best
  if (stride > 1) look(from - stride, from + stride, to - stride, to + stride, 1)
  return best
}

/** What the build of the winding leaves unknown between two steps, m: a layer's own length, and where it begins. */
export function windingSd(
  turns: StepWitness,
  travelM: Float64Array,
  offset: number,
  from: number,
  to: number,
): number {
  const lengthM = travelM[offset + to]! - travelM[offset + from]!
  const begun = turns.layerBegins[to]! - turns.layerBegins[from]!
  return Math.hypot(turns.layerSdRatio * lengthM, turns.beginSdM * Math.sqrt(begun))
}

function sumOf(witness: StepWitness | null, from: number, to: number): number {
  return witness ? witness.sums[to]! - witness.sums[from]! : 0
}

/** Mean of two by inverse variance. */
export function fused(t: number, sdT: number, p: number, sdP: number): { value: number; sd: number } {
  const [weightT, weightP] = [1 / sdT ** 2, 1 / sdP ** 2]
  return { value: (t * weightT + p * weightP) / (weightT + weightP), sd: 1 / Math.sqrt(weightT + weightP) }
}
