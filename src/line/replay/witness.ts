import { type LayerBuild, layerBuild, woundM } from './layers.ts'
import { type PieceReadings, stepsOf } from './readings.ts'
import { leastDeviations, prefixSums, robustSd } from './robust.ts'

/** What one witness says the counter missed in each step of a piece, m; step i leads to sample from + i. */
export interface StepWitness {
  missedM: Float64Array
  /** Running sums, one longer. */
  sums: Float64Array
  /** The same of what is left beside the cable, known slips taken out: its scatter is the witness's. */
  restSums: Float64Array
  /** Take-up turns only, else nought: how far a layer departs from the build, how well it is known where one begins. */
  layerSdRatio: number
  beginSdM: number
  /** Layers begun up to each step. */
  layerBegins: Uint16Array
}

export interface Witnesses {
  turns: StepWitness | null
  payoff: StepWitness | null
  /** What the dancer may have taken in up to each sample, m; null where its travel is not known. */
  storedM: Float64Array | null
  build: LayerBuild | null
  /** Payoff length over counter length − 1 on the whole piece, with the standard deviation of the whole by its blocks. */
  payoffRatio: number | null
  payoffRatioSd: number | null
}

/** How well the fit finds where a layer begins, turns. By simulation. */
const BEGIN_SD_TURNS = 0.1
/** Where layers depart from the build by more than this the winding is not understood, and its turns say nothing. Estimate. */
const MOST_LAYER_SD = 0.002
const NO_WINDING = { layerSdRatio: 0, beginSdM: 0, layerBegins: new Uint16Array(0) }

/** Steps whose sums are looked at when a witness is set beside the counter: one second at 10 Hz. */
const BLOCK = 10

/**
 * Sets take-up turns (through the layers of the winding) and payoff speed (summed) beside the counter. What is the same
 * all along the piece, a scale, a clock that lags, cable that the dancer takes in, is no slip and is fitted away first,
 * against `cableM`: the counter with the slips that are known so far. Without a winding the payoff speaks alone.
 */
export function witnesses(
  readings: PieceReadings,
  travelM: Float64Array,
  cableM: Float64Array,
  winding: { odMm: number; layerFactor: number; known: LayerBuild | null } | null,
): Witnesses {
  const { span, seconds, turns, paidM, storedM, unwatched } = readings
  const inPiece = cableM.subarray(span.from, span.to + 1)
  const cable = stepsOf(inPiece)
  const counted = stepsOf(travelM.subarray(span.from, span.to + 1))
  const speed = (i: number) => (i < 0 ? 0 : cable[i]! / seconds[i]!)
  const beside = besideCounter({
    counted,
    cable,
    changes: cable.map((_, i) => speed(i) - speed(i - 1)),
    unwatched,
  })
  const build =
    winding && turns ? layerBuild(turns, inPiece, winding.odMm, winding.layerFactor, winding.known) : null
  const found: Witnesses = {
    turns: null,
    payoff: null,
    storedM,
    build,
    payoffRatio: null,
    payoffRatioSd: null,
  }
  if (turns && build && build.layerSdRatio < MOST_LAYER_SD) {
    const wound = stepsOf(turns.map((turn) => woundM(build, turn)))
    const { layerSdRatio, boundaries, stepM } = build
    let layer = 0
    const layerBegins = Uint16Array.from(turns, (turn) => {
      while (layer < boundaries.length && boundaries[layer]! < turn) layer++
      return layer
    })
    found.turns = { ...beside(wound).witness, layerSdRatio, layerBegins, beginSdM: BEGIN_SD_TURNS * stepM }
  }
  if (paidM) {
    const stored = storedM && stepsOf(storedM)
    // which way the dancer counts, and whether the payoff's own figure has it in already, is seen from the run
    const tries = (stored ? [0, 1, -1] : [0]).map((way) =>
      beside(way === 0 ? paidM : paidM.map((length, i) => length - way * stored![i]!)),
    )
    const best = tries.reduce((a, b) => (b.cost < 0.98 * a.cost ? b : a))
    Object.assign(found, { payoff: best.witness, payoffRatio: best.ratio, payoffRatioSd: best.ratioSd })
  }
  return found
}

/** Sets what a witness says beside the counter, freed of a scale and of a lag; both are fitted to the cable. */
function besideCounter(piece: {
  counted: Float64Array
  cable: Float64Array
  changes: Float64Array
  unwatched: Uint8Array
}) {
  const { counted, cable, changes, unwatched } = piece
  const columns = [blockSums(cable), blockSums(changes)]
  return (said: Float64Array) => {
    const off = said.map((length, i) => (unwatched[i] === 1 ? 0 : length - cable[i]!))
    const blocks = blockSums(off)
    const [scale = 0, lagS = 0] = leastDeviations(blocks, columns, 0.001)
    const rest = off.map((value, i) =>
      unwatched[i] === 1 ? 0 : value - scale * cable[i]! - lagS * changes[i]!,
    )
    const missedM = rest.map((value, i) => (unwatched[i] === 1 ? 0 : value + cable[i]! - counted[i]!))
    const restBlocks = blockSums(rest)
    const total = cable.reduce((sum, length) => sum + length, 0)
    const cost = restBlocks.reduce((sum, value) => sum + Math.abs(value), 0)
    const ratioSd = total > 0 ? (robustSd(restBlocks) * Math.sqrt(blocks.length)) / total : null
    return {
      witness: { missedM, sums: prefixSums(missedM), restSums: prefixSums(rest), ...NO_WINDING },
      ...{ cost, ratio: scale, ratioSd },
    }
  }
}

function blockSums(values: Float64Array): Float64Array {
  const sums = new Float64Array(Math.max(1, Math.floor(values.length / BLOCK)))
  for (let i = 0; i < values.length; i++) {
    const block = Math.min(sums.length - 1, Math.floor(i / BLOCK))
    sums[block] = sums[block]! + values[i]!
  }
  return sums
}

/** Standard deviation of what the witness says over so many steps where nothing slips, m; no less than a reading of either device. */
export function windowSd({ restSums: sums }: StepWitness, steps: number): number {
  const count = sums.length - steps
  if (count < 2) return Number.POSITIVE_INFINITY
  // at most so many windows: enough for a median
  const stride = Math.max(1, Math.floor(count / 1000))
  const found: number[] = []
  for (let i = 0; i < count; i += stride) found.push(sums[i + steps]! - sums[i]!)
  return Math.max(READING_M, robustSd(found))
}
const READING_M = 0.0008
