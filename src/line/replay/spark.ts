import { type Found, placeText } from './finding.ts'
import { type Places, seenByHead } from './place.ts'
import { median, straightThrough } from './robust.ts'
import { REPLAY_LIMITS, type RunSetup } from './run-setup.ts'
import { blockMeans, stretches } from './stretches.ts'
import type { Timeline } from './timeline.ts'

/** Events and the state of the spark test along the run. */
export function sparkFindings(timeline: Timeline, places: Places, setup: RunSetup): Found[] {
  const findings = [...events(timeline, places, setup), ...lowVoltage(timeline, places, setup)]
  const creep = currentCreep(timeline, places, setup)
  if (creep) findings.push(creep)
  return findings
}

/**
 * One fault fires as long as it lies in the electrode, of length l. Seen first with the electrode's middle at h₁ and last
 * at h₂ it lies between h₂ − l/2 and h₁ + l/2; where h₂ − h₁ is more than l there is more than one.
 */
function events({ samples }: Timeline, places: Places, { line }: RunSetup): Found[] {
  const found: Found[] = []
  const electrodeM = line.spark.electrodeMm / 1000
  const fires = (i: number) => samples[i]!.sparkEvent >= 0.5
  for (const { from, to } of joined(stretches(samples.length, fires), places, electrodeM)) {
    const seen = seenByHead(places, from, to, line.spark.toCutterM)
    const several = seen.toM - seen.fromM > electrodeM
    const fromM = several ? seen.fromM - electrodeM / 2 : seen.toM - electrodeM / 2
    const toM = several ? seen.toM + electrodeM / 2 : seen.fromM + electrodeM / 2
    let currentMa = 0
    for (let i = from; i <= to; i++) currentMa = Math.max(currentMa, samples[i]!.sparkMa || 0)
    const what = several ? 'Sparks, more than one fault,' : 'Spark'
    const text = `${what} at ${placeText(fromM, toM)} from the outer end, give or take ${seen.placeUncertaintyM.toFixed(1)} m (${line.spark.toCutterM} m before the cutter, electrode ${electrodeM} m), ${currentMa.toFixed(1)} mA: mark both sides, cut out.`
    const place = { fromM, toM, placeUncertaintyM: seen.placeUncertaintyM }
    found.push({ kind: 'spark', severity: 'wrong', text, from, to, ...place, size: currentMa, unit: 'mA' })
  }
  return found
}

/** Firings nearer to each other on the cable than the electrode is long cannot be told apart. */
function joined(list: { from: number; to: number }[], places: Places, electrodeM: number) {
  const one: { from: number; to: number }[] = []
  for (const { from, to } of list) {
    const last = one.at(-1)
    if (last && places.atM[from]! - places.atM[last.to]! < electrodeM) last.to = to
    else one.push({ from, to })
  }
  return one
}

function lowVoltage({ samples }: Timeline, places: Places, { line, cable }: RunSetup): Found[] {
  const leastKv = REPLAY_LIMITS.sparkKvRatio * cable.sparkKvRms
  const moves = (i: number) => i > 0 && places.atM[i]! > places.atM[i - 1]!
  return stretches(samples.length, (i) => moves(i) && samples[i]!.sparkKv < leastKv, 1).map(
    ({ from, to }) => {
      const place = seenByHead(places, Math.max(0, from - 1), to, line.spark.toCutterM)
      let kv = Number.POSITIVE_INFINITY
      for (let i = from; i <= to; i++) if (samples[i]!.sparkKv < kv) kv = samples[i]!.sparkKv
      const text = `The spark tester stood at ${kv.toFixed(1)} kV, the setting is ${cable.sparkKvRms} kV: ${placeText(place.fromM, place.toM)} from the outer end counts as not tested.`
      return { kind: 'spark-low', severity: 'wrong', text, from, to, ...place, size: kv, unit: 'kV' }
    },
  )
}

/** Current that rises slowly at the same voltage: the electrode gets dirty, or the jacket wet. */
function currentCreep(timeline: Timeline, places: Places, { line, cable }: RunSetup): Found | null {
  const { samples, sinceS, intervalS } = timeline
  const near = new Uint8Array(samples.length)
  for (const [i, sample] of samples.entries())
    if (sample.sparkEvent >= 0.5) near.fill(1, Math.max(0, i - 2), i + 3)
  const test = (i: number) =>
    near[i] === 0 &&
    Number.isFinite(samples[i]!.sparkMa) &&
    samples[i]!.sparkKv >= REPLAY_LIMITS.sparkKvRatio * cable.sparkKvRms
  const block = Math.max(5, Math.round(5 / intervalS))
  const { x, y } = blockMeans(
    samples.length,
    block,
    test,
    (i) => sinceS[i]!,
    (i) => samples[i]!.sparkMa,
  )
  if (x.length < 4) return null
  const { slope, slopeError } = straightThrough(x, y)
  const rise = slope * (x.at(-1)! - x[0]!)
  const start = median(y.slice(0, Math.ceil(y.length / 4)))
  // sure by four standard errors, and a tenth of where it began
  if (!(slope > 4 * slopeError) || rise < 0.1 * start) return null
  const tripS = (line.spark.tripMa - y.at(-1)!) / slope
  const text = `The spark current crept up by ${rise.toFixed(2)} mA from ${start.toFixed(2)} mA: dry and clean the electrode; at this rate it trips at ${line.spark.tripMa} mA in ${(tripS / 60).toFixed(0)} min.`
  const size = { size: rise, sizeUncertainty: 2 * slopeError * (x.at(-1)! - x[0]!), unit: 'mA' as const }
  const [fromM, toM] = [places.atM[0]!, places.atM.at(-1)!]
  return {
    kind: 'spark-creep',
    severity: 'watch',
    text,
    from: 0,
    to: samples.length - 1,
    fromM,
    toM,
    ...size,
  }
}
