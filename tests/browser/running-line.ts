import { loadWithMore, readWholeFolder, recordedWorks } from '../../src/server/kept-more.ts'
import {
  type DeviceValues,
  SimulatedBroker,
  SimulatedModbus,
} from '../../src/signals/simulator/simulated-devices.ts'
import {
  SimulatedLine,
  type SimulatedReading,
  type SimulatedSetup,
} from '../../src/signals/simulator/simulated-line.ts'
import { simulatedSetup } from '../../src/signals/simulator/simulated-setup.ts'
import type { Mounting } from '../../src/strip/cut-plan.ts'
import { isModbus, isMqtt, type ModbusSignal, type MqttSignal } from '../../src/works/more-signals.ts'

const STEP_MS = 20
/** What is sent by MQTT is sent at this pace. */
const SEND_MS = 100
/** How much faster than life the line runs. */
const SPEED_UP = 2
/** At rest after a run, s of the line: longer than three of its readings. */
const REST_S = 2
/** Seeds that are tried until a run has as many sparks as are asked for. */
const MOST_SEEDS = 500

/** Winding back, m/s of the line. */
const BACK_M_PER_S = 1.5

/**
 * The simulator's line as somebody runs it: it starts when it is told to, runs a length by its ramps, and stands until the cut is
 * made and the counter set to nought. Its devices answer over Modbus TCP or send by MQTT, as the works folder says.
 */
export class RunningLine {
  readonly #device: SimulatedModbus
  readonly #broker: SimulatedBroker
  #signals: ModbusSignal[] = []
  #topics: MqttSignal[] = []
  #sentMs = 0
  #sentSparks = 0
  /** Messages go one after the other. */
  #sending: Promise<void> = Promise.resolve()
  #setupOf: (lengthM: number, seed: number, sparks: boolean) => SimulatedSetup = () => {
    throw new Error('The line knows no works yet.')
  }
  #shown: SimulatedReading = {
    ...{ tS: 0, counterM: 0, speedMPerS: 0, sparks: 0, tensionN: 0, dancerPct: 50, diameterMm: 2.8 },
  }
  #sparks = 0
  #seed = 0
  /** True metres past the cutter since the last cut, and since the drum was mounted. */
  #sinceCutM = 0
  #goneM = 0
  readonly #timer: NodeJS.Timeout

  private constructor(device: SimulatedModbus, broker: SimulatedBroker) {
    this.#device = device
    this.#broker = broker
    this.#timer = setInterval(() => this.#show(), STEP_MS)
  }

  static async open(): Promise<RunningLine> {
    return new RunningLine(await SimulatedModbus.open(0), await SimulatedBroker.open(0))
  }

  get port(): number {
    return this.#device.port
  }

  get brokerPort(): number {
    return this.#broker.port
  }

  /** True length that was cut off since the drum was mounted, m. */
  get goneM(): number {
    return this.#goneM
  }

  /** Function codes that it was asked: 3 and 4 read. */
  get asked(): number[] {
    return [...this.#device.asked]
  }

  /** Topics that somebody else published to. */
  get published(): string[] {
    return [...this.#broker.published]
  }

  /** Takes over what the works folder says of the line: presets and ramps of a drum of that cable, and where its signals stand. */
  async serve(folder: string, lineId: string, drumId: string): Promise<void> {
    const loaded = loadWithMore(await readWholeFolder(folder))
    const works = recordedWorks(loaded)
    const signals = (loaded.more.signals.signals ?? []).filter((s) => s.line === lineId)
    this.#signals = signals.filter(isModbus)
    this.#topics = signals.filter(isMqtt)
    const bookUm = works.drums.find((d) => d.drum === drumId)?.bookUm ?? 0
    this.#setupOf = (lengthM, seed, sparks) => {
      const atUm = Math.round(lengthM * 1e6)
      const mounting: Mounting = {
        ...{ drum: drumId, line: lineId },
        intervals: [
          { fromUm: 0, toUm: atUm, use: 'remnant', putup: 'C-220' },
          { fromUm: atUm, toUm: bookUm, use: 'remnant', putup: null },
        ],
      }
      const setup = simulatedSetup(works, lineId, mounting, seed, new Set(sparks ? ['sparks'] : []))
      return { ...setup, cuts: setup.cuts.slice(0, 1), firstWaitS: 0.5 }
    }
  }

  /**
   * Runs on until the counter reads so much, or back; with one spark of the tester on the way or none: answers where it truly
   * lies, m inward of the outer end as it stands now.
   */
  async runTo(counterM: number, spark = false): Promise<number | null> {
    const before = this.#shown
    const lengthM = counterM - before.counterM
    if (lengthM <= 0) return this.#backTo(counterM)
    const line = this.#lineWith(lengthM, spark)
    const firstSparks = this.#sparks
    const begunMs = Date.now()
    for (let standsSinceS: number | null = null; ; ) {
      const tS = ((Date.now() - begunMs) / 1000) * SPEED_UP
      const now = line.advanceTo(tS)
      this.#sparks = firstSparks + now.sparks
      this.#shown = { ...now, counterM: before.counterM + now.counterM, sparks: this.#sparks }
      const moved = now.counterM > 0 && now.speedMPerS === 0
      standsSinceS = moved ? (standsSinceS ?? tS) : null
      if (standsSinceS !== null && tS - standsSinceS >= REST_S) break
      await pause()
    }
    const fired = line.truth.find((event) => event.kind === 'spark')
    const fromM = fired?.kind === 'spark' ? this.#sinceCutM + fired.fromOuterM : null
    this.#sinceCutM += trueLengthOf(line)
    return fromM
  }

  /** The cut is made and the counter set to nought. */
  async cut(): Promise<void> {
    this.#goneM += this.#sinceCutM
    this.#sinceCutM = 0
    this.#shown = { ...this.#shown, counterM: 0, speedMPerS: 0 }
    // seen by whoever asks ten times a second
    for (let i = 0; i < 15; i++) await pause()
  }

  async close(): Promise<void> {
    clearInterval(this.#timer)
    await this.#sending
    await this.#device.close()
    await this.#broker.close()
  }

  /** What was run too far is wound back on the drum; nothing slips. */
  async #backTo(counterM: number): Promise<null> {
    const { errorRatio } = this.#setupOf(1, 1, false)
    for (let left = this.#shown.counterM - counterM; left > 0; ) {
      const metres = Math.min(left, (BACK_M_PER_S * SPEED_UP * STEP_MS) / 1000)
      left -= metres
      this.#sinceCutM -= metres / (1 + errorRatio)
      this.#shown = { ...this.#shown, counterM: this.#shown.counterM - metres }
      await pause()
    }
    for (let i = 0; i < (REST_S * 1000) / SPEED_UP / STEP_MS; i++) await pause()
    return null
  }

  /** A run of so much by the counter; of the seeds that follow, the first with one spark well inside it, or with none. */
  #lineWith(lengthM: number, spark: boolean): SimulatedLine {
    for (let tried = 0; tried < MOST_SEEDS; tried++) {
      const seed = ++this.#seed
      const { errorRatio } = this.#setupOf(lengthM, seed, spark)
      const setup = this.#setupOf(lengthM / (1 + errorRatio), seed, spark)
      if (!spark) return new SimulatedLine(setup)
      const trial = new SimulatedLine(setup)
      trueLengthOf(trial)
      const [first, ...more] = trial.truth.filter((event) => event.kind === 'spark')
      if (first?.kind !== 'spark' || more.length > 0) continue
      if (first.fromOuterM > 0.4 * lengthM && first.fromOuterM < 0.8 * lengthM)
        return new SimulatedLine(setup)
    }
    throw new Error(`No seed gives one spark in ${lengthM} m.`)
  }

  #show(): void {
    const { counterM, speedMPerS, tensionN, dancerPct, diameterMm } = this.#shown
    const values: DeviceValues = {
      ...{ counter_m: counterM, speed_m_min: speedMPerS * 60 * SPEED_UP, spark_event: this.#sparks },
      ...{ tension_n: tensionN, dancer_pct: dancerPct, diameter_mm: diameterMm, clock: Date.now() / 1000 },
    }
    this.#device.show(this.#signals, values)
    this.#send(values)
  }

  /** At its pace; a spark is told as it comes. */
  #send(values: DeviceValues): void {
    const nowMs = Date.now()
    const fired = this.#sparks !== this.#sentSparks
    if (this.#topics.length === 0 || (!fired && nowMs - this.#sentMs < SEND_MS)) return
    this.#sentMs = nowMs
    this.#sentSparks = this.#sparks
    this.#sending = this.#sending.then(() => this.#broker.show(this.#topics, values, nowMs))
  }
}

/** Runs it to its end. */
function trueLengthOf(line: SimulatedLine): number {
  line.advanceTo(Number.POSITIVE_INFINITY)
  const cut = line.truth.find((event) => event.kind === 'cut')
  if (cut?.kind !== 'cut') throw new Error('The line made no cut.')
  return cut.lengthM
}

function pause(): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, STEP_MS))
}
