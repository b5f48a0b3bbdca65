import { LastmetreError } from '../../quantity/errors.ts'
import type { RunSample } from '../run-sample.ts'
import { type DiameterSummary, diameterFindings } from './diameter.ts'
import type { Found, RunFinding } from './finding.ts'
import type { LayerBuild } from './layers.ts'
import { type Places, placesOf } from './place.ts'
import { pullFindings } from './pull.ts'
import { pieceReadings } from './readings.ts'
import type { RunSetup } from './run-setup.ts'
import { quarrelFinding, type Slip, slipFinding, withSlips } from './slip.ts'
import { findSlips } from './slip-search.ts'
import { sparkFindings } from './spark.ts'
import { type StopForecast, stopForecasts } from './stop-forecast.ts'
import { type TimeSplit, timeSplit } from './time-split.ts'
import { type Timeline, timelineOf } from './timeline.ts'
import { type PieceSpan, travelOf } from './travel.ts'
import { witnesses } from './witness.ts'

/** One piece of the run as its witnesses saw it. */
export interface PieceReport {
  fromM: number
  toM: number
  presetM: number
  /** How the winding builds up; null where there were too few turns. */
  build: LayerBuild | null
  /** Payoff over counter − 1 along the whole piece, and its uncertainty (k = 2); null where the payoff says nothing. */
  payoffRatio: number | null
  payoffRatioUncertainty: number | null
  forecasts: StopForecast[]
}

export interface RunAnalysis {
  line: string
  cable: string
  samples: number
  intervalS: number
  fromS: number
  toS: number
  /** Stretch of the strip that passed the cutter, m from the outer end. */
  fromM: number
  toM: number
  /** Cable that passed uncounted in all, m; below nought where the counter ran ahead. */
  missedM: number
  pieces: PieceReport[]
  time: TimeSplit
  diameter: DiameterSummary | null
  /** What passed each head within the record. What passed the cutter before `fromM` of a head went by before the record began. */
  seen: { sparkFromM: number; sparkToM: number; gaugeFromM: number; gaugeToM: number }
  findings: RunFinding[]
}

/** A run with the places of its samples: what the charts need. */
export interface ReplayedRun {
  analysis: RunAnalysis
  timeline: Timeline
  places: Places
}

/** Reads a recorded run: what slipped, what was seen and where it lies, where the time went, how long the piece is. */
export function replayRun(record: readonly RunSample[], setup: RunSetup): ReplayedRun {
  const timeline = timelineOf(record)
  const { samples } = timeline
  if (samples.length < 2 || !samples.some((sample) => Number.isFinite(sample.countM)))
    throw new LastmetreError(
      'run-refused',
      'The record has not two samples with a time and a counter figure.',
    )
  const travel = travelOf(timeline, setup.line.counter)
  const seen = travel.pieces.map((piece) => pieceSlips(timeline, travel.atM, piece, setup))
  const slips = seen.flatMap((piece) => piece.search.slips)
  const places = placesOf(travel, slips, setup)
  const split = timeSplit(timeline, places, travel.pieces, setup)
  const diameter = diameterFindings(timeline, places, setup)
  const found: Found[] = [
    ...timeline.findings,
    ...travel.findings,
    ...slips.map((slip) => placedSlip(slip, places)),
    ...seen.flatMap((piece) => piece.search.quarrels.map(quarrelFinding)),
    ...diameter.findings,
    ...sparkFindings(timeline, places, setup),
    ...pullFindings(timeline, places, setup),
    ...split.findings,
  ]
  const [fromM, toM] = [places.atM[0]!, places.atM.at(-1)!]
  const { line } = setup
  const analysis: RunAnalysis = {
    ...{ line: samples[0]!.line, cable: samples[0]!.cable, samples: samples.length },
    ...{ intervalS: timeline.intervalS, fromS: samples[0]!.tS, toS: samples.at(-1)!.tS, fromM, toM },
    missedM: places.missedM.at(-1)!,
    pieces: travel.pieces.map((piece, i) => ({
      ...{ fromM: places.atM[piece.from]!, toM: places.atM[piece.to]! },
      presetM: samples[piece.to]!.targetM,
      build: seen[i]!.witness.build,
      payoffRatio: seen[i]!.witness.payoffRatio,
      payoffRatioUncertainty: twice(seen[i]!.witness.payoffRatioSd),
      forecasts: stopForecasts(timeline, travel, places, piece, setup),
    })),
    time: split.split,
    diameter: diameter.summary,
    seen: {
      ...{ sparkFromM: fromM + line.spark.toCutterM, sparkToM: toM + line.spark.toCutterM },
      ...{ gaugeFromM: fromM + line.diameterGauge.toCutterM, gaugeToM: toM + line.diameterGauge.toCutterM },
    },
    findings: found.map((one) => resolved(one, timeline, places)).sort((a, b) => a.fromS - b.fromS),
  }
  return { analysis, timeline, places }
}

/** Rounds in which slips and what the witnesses are fitted to settle, at most. */
const ROUNDS = 3
const SETTLED_M = 0.0005

/**
 * Slips of a piece. The payoff alone begins, for it knows nothing of layers; then turns and payoff together, each round
 * fitted to the cable as the round before found it, so that a slip does not hide in the layers of the winding.
 */
function pieceSlips(timeline: Timeline, travelM: Float64Array, piece: PieceSpan, setup: RunSetup) {
  const { line, cable, putupRules } = setup
  const { odMm } = cable
  const { layerFactor } = putupRules
  const readings = pieceReadings(timeline, piece, line.dancer)
  let witness = witnesses(readings, travelM, travelM, null)
  let search = findSlips(witness, travelM, piece)
  for (let round = 0; round < ROUNDS; round++) {
    const before = search.slips
    // the layers are searched once, when the payoff has taken its slips out
    const known = round > 0 ? witness.build : null
    witness = witnesses(readings, travelM, withSlips(travelM, before), { odMm, layerFactor, known })
    search = findSlips(witness, travelM, piece)
    if (settledSlips(before, search.slips)) break
  }
  return { witness, search }
}

function settledSlips(before: Slip[], now: Slip[]): boolean {
  return (
    before.length === now.length &&
    now.every((slip, i) => Math.abs(slip.missedM - before[i]!.missedM) < SETTLED_M)
  )
}

function placedSlip(slip: Slip, places: Places): Found {
  return slipFinding(slip, places.atM[slip.from]!, places.atM[slip.to]!)
}

function twice(value: number | null): number | null {
  return value === null ? null : 2 * value
}

/** With the clock of the record and, unless it has none, its place at the cutter. */
function resolved(found: Found, { samples }: Timeline, places: Places): RunFinding {
  const { from, to, placeless, kind, severity, text, ...rest } = found
  const place = placeless
    ? { fromM: null, toM: null, placeUncertaintyM: null }
    : {
        ...{ fromM: places.atM[from]!, toM: places.atM[to]! },
        placeUncertaintyM: 2 * places.uncertaintyM[to]!,
      }
  const size = { size: null, sizeUncertainty: null, unit: null }
  return { kind, severity, fromS: samples[from]!.tS, toS: samples[to]!.tS, ...place, ...size, ...rest, text }
}
