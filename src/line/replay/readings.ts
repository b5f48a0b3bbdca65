import type { RewindingLine } from '../../hall/rewinding-line.ts'
import { prefixSums } from './robust.ts'
import type { Timeline } from './timeline.ts'
import type { PieceSpan } from './travel.ts'

/** What the devices beside the counter read along one piece; steps lie between samples. */
export interface PieceReadings {
  span: PieceSpan
  /** Length of each step in time. */
  seconds: Float64Array
  /** Turns of the take-up at each sample; null where too many are missing or it hardly turned. */
  turns: Float64Array | null
  /** What the payoff gave in each step by its speed, m; null where it says nothing. */
  paidM: Float64Array | null
  /** What the dancer may have taken in up to each sample, m; null where its travel is not known. */
  storedM: Float64Array | null
  /** 1 for a step over a gap of the record: nobody watched. */
  unwatched: Uint8Array
}

export function pieceReadings(
  { samples, sinceS, gapBefore }: Timeline,
  span: PieceSpan,
  dancer: RewindingLine['dancer'],
): PieceReadings {
  const { from, to } = span
  const read = (value: (sample: Timeline['samples'][number]) => number) => {
    const line = new Float64Array(to - from + 1)
    for (let i = from; i <= to; i++) line[i - from] = value(samples[i]!)
    return bridged(line)
  }
  const seconds = stepsOf(sinceS.subarray(from, to + 1))
  const turns = read((sample) => sample.takeupTurns)
  const speeds = read((sample) => sample.payoffVMS)
  const travel = read((sample) => sample.dancerPct)
  const storePerPctM = (dancer.falls * dancer.travelM) / 100
  const pays = speeds?.some((speed) => speed > 0.02) ? speeds : null
  return {
    ...{ span, seconds, unwatched: gapBefore.subarray(from + 1, to + 1) },
    turns: turns && turns.at(-1)! > turns[0]! + 1 ? turns : null,
    paidM: pays && seconds.map((time, i) => ((pays[i]! + pays[i + 1]!) / 2) * time),
    storedM: travel && smoothed(travel).map((at) => at * storePerPctM),
  }
}

export function stepsOf(values: Float64Array): Float64Array {
  const steps = new Float64Array(Math.max(0, values.length - 1))
  for (let i = 0; i < steps.length; i++) steps[i] = values[i + 1]! - values[i]!
  return steps
}

/** Mean over eleven samples: a dancer's reading is noisy, its travel slow. */
function smoothed(values: Float64Array): Float64Array {
  const sums = prefixSums(values)
  return values.map((_, i) => {
    const reach = Math.min(5, i, values.length - 1 - i)
    return (sums[i + reach + 1]! - sums[i - reach]!) / (2 * reach + 1)
  })
}

/** Missing readings are bridged by a straight line; null where more than a fifth is missing. */
function bridged(line: Float64Array): Float64Array | null {
  let missing = 0
  let last = -1
  for (let i = 0; i < line.length; i++) {
    if (!Number.isFinite(line[i]!)) {
      missing++
      continue
    }
    for (let k = last + 1; k < i; k++)
      line[k] = last < 0 ? line[i]! : line[last]! + ((line[i]! - line[last]!) * (k - last)) / (i - last)
    last = i
  }
  if (last < 0 || missing > 0.2 * line.length) return null
  return line.fill(line[last]!, last + 1)
}
