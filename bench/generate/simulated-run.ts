import type { RunSetup } from '../../src/line/replay/run-setup.ts'
import type { RunSample } from '../../src/line/run-sample.ts'
import { type Random, seededRandom } from './random.ts'

/**
 * A run made from the cable outwards: the true speed is integrated, every device then reads the truth in its own way
 * (scale, lag, noise, rounding). Invented data; it knows nothing of how a run is read back.
 */
export interface Wanted {
  seed: number
  lengthM: number
  odMm: number
  /** Share of the passing cable that is not counted, from a place on. */
  slips?: { fromM: number; toM: number; ratio: number }[]
  /** True places of faults on the cable, m from the outer end. */
  lumps?: { atM: number; longM: number; overMm: number }[]
  pinholes?: number[]
  /** The counter falls to nought here. */
  resetAtM?: number
  /** Nothing is recorded between these places. */
  dropOut?: { fromM: number; toM: number }
  /** The clock of the record goes back by so many seconds at this place. */
  clockBackAtM?: number
  /** Line stands in mid-piece. */
  standsAtM?: { atM: number; seconds: number }
  sparkCreepMaPerMin?: number
  diameterDriftMmPerM?: number
}

export interface Truth {
  /** Cable that had passed the cutter at each sample. */
  atM: number[]
  endM: number
}

const LINE_SPEED_MS = 2.5
const RAMP_MS2 = { up: 0.35, down: 0.45 }
const CRAWL_MS = 0.1
const SPARK_WAY_M = 4.6
const GAUGE_WAY_M = 5.8
const ELECTRODE_M = 0.75

export function setupFor(odMm: number): RunSetup {
  return {
    line: {
      ...{ id: 'L', odMinMm: 2, odMaxMm: 16, vMaxMMin: 150, vCreepMMin: 6, accelMS2: RAMP_MS2.up },
      ...{ decelMS2: RAMP_MS2.down, estopDecelMS2: 1.5, payoffMaxDrumMm: 1300, payoffMaxKg: 2800 },
      dancer: {
        ...{ falls: 2, travelM: 0.9, storedM: 3.6, forceMinN: 20, forceMaxN: 300, centrePct: 50 },
        ...{ limitLowPct: 12, limitHighPct: 88 },
      },
      counter: { kind: 'wheel', wheelCircMm: 500, pulsesPerTurn: 1000, claimedErrorRatio: 0.002 },
      spark: {
        ...{ kind: 'AC', electrodeMm: 1000 * ELECTRODE_M, kvMin: 2, kvMax: 15, tripMa: 5 },
        toCutterM: SPARK_WAY_M,
      },
      diameterGauge: { axes: 2, rateHz: 500, toCutterM: GAUGE_WAY_M },
      ...{ takeupPutups: [], stopSdM: 0.04 },
      changeoverMin: { sameCableSamePutup: 1, sameCableNewPutup: 7, newDrumSameCable: 14, newCable: 24 },
      ...{ cutTieLabelS: { coil: 95, bobbin: 110, drum: 300 }, rateEurH: 71 },
    },
    cable: { odMm, odTolMm: 0.16, lineTensionN: 43, pullMaxN: 430, sparkKvRms: 7 },
    putupRules: { layerFactor: 0.95 },
    correction: { errorRatio: 0, standardErrorRatio: 0.0002 },
    startM: 0,
  }
}

export function normal(random: Random): number {
  return Math.sqrt(-2 * Math.log(1 - random.next())) * Math.cos(2 * Math.PI * random.next())
}

/**
 * True speed at each tenth of a second: ramp up, cruise, ramp down, crawl, stop when the counter shows the preset (a
 * reset is made good by the operator); a standstill between where one is wanted.
 */
function trueSpeeds(wanted: Wanted): { speeds: number[]; sets: number[] } {
  const { lengthM, standsAtM } = wanted
  const speeds: number[] = []
  const sets: number[] = []
  let [at, counted, speed] = [0, 0, 0]
  const stops = [
    ...(standsAtM ? [{ atM: standsAtM.atM, stand: standsAtM.seconds }] : []),
    { atM: lengthM, stand: 0.3 },
  ]
  for (const { atM, stand } of stops) {
    for (let guard = 0; guard < 1e6; guard++) {
      const leftM = atM - counted
      const braking = (speed * speed - CRAWL_MS * CRAWL_MS) / (2 * RAMP_MS2.down) + 0.4
      const set = leftM <= 0.011 ? 0 : leftM < braking ? CRAWL_MS : LINE_SPEED_MS
      speed =
        set > speed ? Math.min(set, speed + RAMP_MS2.up / 10) : Math.max(set, speed - RAMP_MS2.down / 10)
      counted += countedOf(wanted, at, at + speed / 10)
      at += speed / 10
      speeds.push(speed)
      sets.push(set)
      if (speed === 0) break
    }
    for (let k = 0; k < 10 * stand; k++) {
      speeds.push(0)
      sets.push(0)
    }
  }
  return { speeds, sets }
}

/** Turns wound for a length of cable: layers of equal turns, every layer a little off, the first one part-wound. */
function winding(random: Random, odMm: number, wholeM: number): (lengthM: number) => number {
  const barrelM = random.decimal(0.28, 0.6, 3)
  // a put-up has some twenty layers at most
  const perLayer = Math.max(random.decimal(7, 40, 1), wholeM / 30)
  const build = random.decimal(0.9, 1, 3)
  const ends: { turn: number; atM: number; perTurnM: number }[] = []
  let [turn, at] = [0, 0]
  for (let layer = 0; layer < 60; layer++) {
    const turns = layer === 0 ? perLayer * random.decimal(0.3, 1, 2) : perLayer + random.whole(-1, 1) * 0.2
    const odM = odMm / 1000
    const perTurnM = Math.PI * (barrelM + odM + 2 * layer * build * odM) * (1 + 0.0005 * normal(random))
    ends.push({ turn, atM: at, perTurnM })
    turn += turns
    at += turns * perTurnM
  }
  return (lengthM) => {
    const layer = ends.findLast((end) => end.atM <= lengthM) ?? ends[0]!
    return layer.turn + (lengthM - layer.atM) / layer.perTurnM
  }
}

export function simulatedRun(wanted: Wanted): { record: RunSample[]; truth: Truth } {
  const random = seededRandom(wanted.seed)
  const { speeds, sets } = trueSpeeds(wanted)
  const turnsOf = winding(random, wanted.odMm, wanted.lengthM)
  const payoffScale = 1 + 0.003 * normal(random)
  const payoffLag = random.whole(0, 2)
  const record: RunSample[] = []
  const truth: Truth = { atM: [], endM: 0 }
  let [at, counted, dancer, clockOff] = [0, 0, 50, 0]
  let reset = false
  for (const [i, speed] of speeds.entries()) {
    const before = at
    at += speed / 10
    counted += countedOf(wanted, before, at)
    if (wanted.resetAtM !== undefined && !reset && at >= wanted.resetAtM) {
      counted = 0
      reset = true
    }
    if (wanted.clockBackAtM !== undefined && clockOff === 0 && at >= wanted.clockBackAtM) clockOff = -7.3
    // the dancer goes with the change of speed; what it takes in is paid off on top
    const target = 50 + 30 * ((speeds[i + 3] ?? 0) - speed)
    const dancerBefore = dancer
    dancer += 0.3 * (target - dancer)
    const stored = (2 * 0.9 * (dancer - dancerBefore)) / 100
    const paidMS = (speeds[i - payoffLag] ?? 0) * payoffScale + 10 * stored + 0.01 * normal(random)
    if (wanted.dropOut && at > wanted.dropOut.fromM && at < wanted.dropOut.toM) continue
    const spark = (wanted.pinholes ?? []).some(
      (hole) => hole - SPARK_WAY_M > before - ELECTRODE_M / 2 && hole - SPARK_WAY_M < at + ELECTRODE_M / 2,
    )
    const lump = (wanted.lumps ?? []).find(
      ({ atM, longM }) => at + GAUGE_WAY_M >= atM && before + GAUGE_WAY_M <= atM + longM,
    )
    const od = wanted.odMm + (lump?.overMm ?? 0) + (wanted.diameterDriftMmPerM ?? 0) * at
    const ma = 0.8 + ((wanted.sparkCreepMaPerMin ?? 0) * i) / 600
    truth.atM.push(at)
    record.push({
      ...{ line: 'L', cable: 'C', targetM: wanted.lengthM, tS: round(i / 10 + clockOff + 10, 1) },
      ...{ vSetMS: sets[i]!, vMS: round(speed, 3), countM: round(counted, 3) },
      ...{ takeupTurns: round(turnsOf(at), 3), payoffVMS: round(paidMS, 3) },
      ...{ dancerPct: round(dancer + normal(random), 1), tensionN: round(43 + 1.5 * normal(random), 1) },
      ...{
        sparkKv: 7,
        sparkMa: round(spark ? 5.2 : ma + 0.05 * normal(random), 2),
        sparkEvent: spark ? 1 : 0,
      },
      odXMm: round(od + 0.02 * normal(random) + (lump ? 0.1 : 0), 3),
      odYMm: round(od + 0.02 * normal(random) - (lump ? 0.1 : 0), 3),
      state: speed > 0 ? 'RUN' : 'STOP',
    })
  }
  truth.endM = at
  return { record, truth }
}

function countedOf({ slips }: Wanted, fromM: number, toM: number): number {
  let counted = toM - fromM
  for (const slip of slips ?? [])
    counted -= slip.ratio * Math.max(0, Math.min(toM, slip.toM) - Math.max(fromM, slip.fromM))
  return counted
}

function round(value: number, decimals: number): number {
  return Number(value.toFixed(decimals))
}
