import type { RunSetup } from './run-setup.ts'
import { type Slip, withSlips } from './slip.ts'
import type { Travel } from './travel.ts'

/** Where the cutter stood on the strip at each sample. */
export interface Places {
  /** Metres from the outer end. */
  atM: Float64Array
  /** Standard uncertainty, m. */
  uncertaintyM: Float64Array
  /** Cable that the counter had missed so far, m. */
  missedM: Float64Array
}

/** How well the way from a head to the cutter is known, m. Estimate: a tape laid along the threaded line. */
const HEAD_WAY_SD_M = 0.02

/**
 * Counter figure → cable: (counter) / (1 + e) and what slipped. Uncertainty: the error's own (its standard error by the
 * checks; without checks the claimed error as a half-width, over √3, GUM 4.3.7), the slips', and bridged resets'.
 */
export function placesOf(travel: Travel, slips: Slip[], { line, correction, startM }: RunSetup): Places {
  const missedM = withSlips(travel.atM, slips).map((cable, i) => cable - travel.atM[i]!)
  const slipVariance = new Float64Array(travel.atM.length)
  for (const slip of slips)
    for (let i = slip.from + 1; i < slipVariance.length; i++)
      slipVariance[i] = slipVariance[i]! + slip.uncertaintyM ** 2
  const error = correction?.errorRatio ?? 0
  const errorSd = correction?.standardErrorRatio ?? line.counter.claimedErrorRatio / Math.sqrt(3)
  const atM = travel.atM.map((counted, i) => startM + counted / (1 + error) + missedM[i]!)
  const uncertaintyM = travel.atM.map((counted, i) =>
    Math.hypot(errorSd * counted, travel.bridgedUncertaintyM[i]!, Math.sqrt(slipVariance[i]!)),
  )
  return { atM, uncertaintyM, missedM }
}

/**
 * What a head saw between two samples, placed on the strip: it looks at cable that will reach the cutter only after
 * the way between them, so its place is that much further in. The time of the event is not its place.
 */
export function seenByHead(
  places: Places,
  from: number,
  to: number,
  wayToCutterM: number,
): { fromM: number; toM: number; placeUncertaintyM: number } {
  const before = Math.max(0, from - 1)
  // an event is seen at most one sample late: a rectangle of one step
  const stepM = Math.max(0, places.atM[from]! - places.atM[before]!)
  return {
    fromM: places.atM[from]! + wayToCutterM,
    toM: places.atM[to]! + wayToCutterM,
    placeUncertaintyM: 2 * Math.hypot(places.uncertaintyM[to]!, stepM / Math.sqrt(3), HEAD_WAY_SD_M),
  }
}
