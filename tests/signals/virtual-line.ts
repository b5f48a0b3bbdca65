import { pieceRun } from '../../src/line/piece-run.ts'
import { seededRandom } from '../../src/plan/random.ts'
import { LineWatch } from '../../src/signals/line-watch.ts'
import type { WatchFinding } from '../../src/signals/line-watch-setup.ts'
import type { SignalSample } from '../../src/signals/signal-news.ts'
import {
  type SimulatedFaults,
  SimulatedLine,
  type SimulatedTruth,
} from '../../src/signals/simulator/simulated-line.ts'
import type { SignalQuantity } from '../../src/works/more-signals.ts'

export interface VirtualRun {
  seed: number
  pieces?: number
  /** Mean error of the counter that the watch is told, and its standard error, by which the truth differs from it. */
  errorRatio?: number
  errorSd?: number
  pollMs?: number
  faults?: Partial<SimulatedFaults>
  /** What the spark tester's device is ahead of ours, and by how much more each second. */
  clockAheadMs?: number
  clockDriftPpm?: number
  /** No reading arrives in these, s. */
  silences?: { fromS: number; toS: number }[]
  /** Delay of each message by the network, at most. */
  delayMs?: number
  /** The spark tester sends messages with a time of its own. */
  sends?: boolean
  /** When a cut is recorded, s after it was made; null: never. */
  recordedAfterS?: number | null
}

export interface VirtualOutcome {
  truth: readonly SimulatedTruth[]
  findings: WatchFinding[]
  /** Place by the watch, beside the truth: both from the end of the whole drum, by the cuts recorded up to then. */
  sparks: { trueM: number; fromM: number; uncM: number }[]
  missed: number
}

const BEGUN_MS = Date.parse('2031-03-03T08:00:00Z')
const LIMITS = {
  speedMPerS: 2.5,
  creepMPerS: 0.13,
  creepM: 1,
  up: { accelMPerS2: 0.6, jerkMPerS3: null },
  down: { accelMPerS2: 0.8, jerkMPerS3: null },
}

/** Runs a simulated line past a watch in virtual time, without a network. Lengths of pieces come from the seed. */
export function virtualRun(run: VirtualRun): VirtualOutcome {
  const random = seededRandom(run.seed + 1000)
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random())
  const errorRatio = run.errorRatio ?? 0.001
  const lengths = Array.from({ length: run.pieces ?? 3 }, () => 40 + 120 * random())
  const pollMs = run.pollMs ?? 100
  const line = new SimulatedLine({
    ...{ seed: run.seed, toCutterM: 3.2, electrodeM: 0.5, pulseM: 0.00025, tensionN: 40 },
    ...{ dancerCentrePct: 50, odMm: 5.9, stopSdM: 0.015, firstWaitS: 5 },
    errorRatio: errorRatio + (run.errorSd ?? 0.0005) * normal(),
    cuts: lengths.map((lengthM) => ({ phases: pieceRun(lengthM, LIMITS).phases, handlingS: 30 })),
    faults: { sparksPer100M: 2, slips: [], resetsAtM: [], ...run.faults },
  })
  const watch = new LineWatch({
    ...{ line: 'RW-1', toCutterM: 3.2, electrodeM: 0.5, maxMPerS: 5, errorRatio },
    pollMs: new Map<SignalQuantity, number>([
      ['counter_m', pollMs],
      ['speed_m_min', pollMs],
      ['spark_event', pollMs],
    ]),
    polled: new Set<SignalQuantity>(
      run.sends ? ['counter_m', 'speed_m_min'] : ['counter_m', 'speed_m_min', 'spark_event'],
    ),
  })
  const findings: WatchFinding[] = []
  const found = new Map<number, { atMs: number; fromM: number; uncM: number }>()
  let recordedM = 0
  const keep = (news: WatchFinding[]) => {
    findings.push(...news)
    for (const news1 of news)
      if (news1.kind === 'spark')
        found.set(news1.spark.n, { ...news1.spark, fromM: news1.spark.fromM + recordedM })
  }
  const recordedAfterS = run.recordedAfterS === undefined ? 5 : run.recordedAfterS
  const waiting: { arrivalMs: number; sample: SignalSample }[] = []
  let told = 0
  let nextTickS = 1
  let sparksSent = 0
  const silent = (s: number) => (run.silences ?? []).some(({ fromS, toS }) => s >= fromS && s < toS)
  watch.mounted(BEGUN_MS)
  for (let k = 1; !line.ended || k * pollMs < line.truth.at(-1)!.tS * 1000 + 15_000; k++) {
    const s = (k * pollMs) / 1000
    const reading = line.advanceTo(s)
    const nowMs = BEGUN_MS + s * 1000
    const delayed = () => nowMs + random() * (run.delayMs ?? 5)
    const device = (clock: boolean) => (clock ? 'tester' : 'drive')
    const sample = (quantity: SignalQuantity, value: number, sourceMs: number | null): SignalSample => ({
      ...{ line: 'RW-1', device: device(sourceMs !== null), quantity, value, sourceMs },
      ...{ arrivalMs: delayed(), retained: false },
    })
    const deviceMs = (ms: number) =>
      ms + (run.clockAheadMs ?? 0) + ((run.clockDriftPpm ?? 0) / 1e6) * (ms - BEGUN_MS)
    const samples: SignalSample[] = []
    if (!silent(s)) {
      samples.push(sample('counter_m', reading.counterM, null))
      samples.push(sample('speed_m_min', reading.speedMPerS * 60, null))
      if (!run.sends) samples.push(sample('spark_event', reading.sparks, null))
      else {
        for (const event of line.truth.slice(told))
          if (event.kind === 'spark')
            samples.push(sample('spark_event', ++sparksSent, deviceMs(BEGUN_MS + event.tS * 1000)))
        // the tester says once a second that it is there
        if (k % Math.ceil(1000 / pollMs) === 0)
          samples.push(sample('spark_event', sparksSent, deviceMs(nowMs)))
      }
      told = line.truth.length
    }
    for (const one of samples) waiting.push({ arrivalMs: one.arrivalMs, sample: one })
    waiting.sort((a, b) => a.arrivalMs - b.arrivalMs)
    while (waiting.length > 0 && waiting[0]!.arrivalMs <= nowMs) keep(watch.take(waiting.shift()!.sample))
    for (const event of line.truth) {
      if (event.kind !== 'cut' || recordedAfterS === null) continue
      const atS = event.tS + recordedAfterS
      if (!(atS > s - pollMs / 1000 && atS <= s)) continue
      watch.cut(BEGUN_MS + atS * 1000)
      recordedM += event.lengthM
    }
    if (s >= nextTickS) {
      keep(watch.tick(nowMs))
      nextTickS++
    }
  }
  return { truth: line.truth, findings, ...matched(line.truth, [...found.values()]) }
}

/** Each true spark with what was found: one by one in order, or the nearest in time where fewer were found than fired. */
function matched(
  truth: readonly SimulatedTruth[],
  found: readonly { atMs: number; fromM: number; uncM: number }[],
) {
  const sparks: VirtualOutcome['sparks'] = []
  const oneByOne = truth.filter(({ kind }) => kind === 'spark').length === found.length
  let missed = 0
  let cutM = 0
  for (const event of truth) {
    if (event.kind === 'cut') cutM += event.lengthM
    if (event.kind !== 'spark') continue
    const atMs = BEGUN_MS + event.tS * 1000
    const nearest = [...found].sort((a, b) => Math.abs(a.atMs - atMs) - Math.abs(b.atMs - atMs))[0]
    const near = oneByOne ? found[sparks.length + missed] : nearest
    if (!near || Math.abs(near.atMs - atMs) > 4_000) missed++
    else sparks.push({ trueM: event.fromOuterM + cutM, fromM: near.fromM, uncM: near.uncM })
  }
  return { sparks, missed }
}
