import { groupBy } from '../../quantity/group-by.ts'
import { isModbus, isMqtt, type SignalMapping } from '../../works/more-signals.ts'
import { type DeviceValues, SimulatedBroker, SimulatedModbus } from './simulated-devices.ts'
import {
  SimulatedLine,
  type SimulatedReading,
  type SimulatedSetup,
  type SimulatedTruth,
} from './simulated-line.ts'

export interface SimulatorSetup {
  line: SimulatedSetup
  /** What is served and where; rows that are off are served as well. */
  signals: readonly SignalMapping[]
  /** 0: any free one. Nothing is opened of a protocol that no row names. */
  modbusPort: number
  mqttPort: number
  /** The line runs so many times faster than it would, and shows its speed so many times higher. */
  speedUp: number
  /** How far the devices' clocks are ahead of this machine's, and by how much more each second. */
  clockAheadMs: number
  clockDriftPpm: number
  /** The devices are not to be heard in these, s of the run. */
  silences: readonly { fromS: number; toS: number }[]
}

const STEP_MS = 20

/** A line that runs by itself and can be read over both protocols. */
export class Simulator {
  readonly #setup: SimulatorSetup
  readonly #line: SimulatedLine
  readonly #modbus: SimulatedModbus | null
  readonly #broker: SimulatedBroker | null
  readonly #begunMs = Date.now()
  readonly #sent = new Map<number, number>()
  readonly #onTruth: (event: SimulatedTruth, atMs: number) => void
  #told = 0
  #sparks = 0
  #turn: Promise<void> = Promise.resolve()
  #timer: NodeJS.Timeout
  #closed = false

  private constructor(
    setup: SimulatorSetup,
    modbus: SimulatedModbus | null,
    broker: SimulatedBroker | null,
    onTruth: (event: SimulatedTruth, atMs: number) => void,
  ) {
    this.#setup = setup
    this.#line = new SimulatedLine(setup.line)
    this.#modbus = modbus
    this.#broker = broker
    this.#onTruth = onTruth
    this.#timer = setTimeout(() => this.#step(), 0)
  }

  /** Opens the ports on loopback and runs. `onTruth` is told what truly happens, as it does, with the time by this machine. */
  static async start(
    setup: SimulatorSetup,
    onTruth: (event: SimulatedTruth, atMs: number) => void = () => undefined,
  ): Promise<Simulator> {
    const speaks = (protocol: SignalMapping['protocol']) => setup.signals.some((s) => s.protocol === protocol)
    const modbus = speaks('modbus-tcp') ? await SimulatedModbus.open(setup.modbusPort) : null
    try {
      const broker = speaks('mqtt') ? await SimulatedBroker.open(setup.mqttPort) : null
      return new Simulator(setup, modbus, broker, onTruth)
    } catch (error) {
      await modbus?.close()
      throw error
    }
  }

  get modbusPort(): number | null {
    return this.#modbus?.port ?? null
  }

  get mqttPort(): number | null {
    return this.#broker?.port ?? null
  }

  /** Function codes that were asked over Modbus, and topics that a client published to. */
  get heard(): { functions: number[]; published: string[] } {
    return { functions: [...(this.#modbus?.asked ?? [])], published: this.#broker?.published ?? [] }
  }

  async close(): Promise<void> {
    this.#closed = true
    clearTimeout(this.#timer)
    await this.#turn
    await this.#modbus?.close()
    await this.#broker?.close()
  }

  #step(): void {
    this.#turn = this.#show().catch(() => undefined)
    void this.#turn.then(() => {
      if (!this.#closed) this.#timer = setTimeout(() => this.#step(), STEP_MS)
    })
  }

  async #show(): Promise<void> {
    const { speedUp, silences, clockAheadMs, clockDriftPpm, signals } = this.#setup
    const nowMs = Date.now()
    const tS = ((nowMs - this.#begunMs) / 1000) * speedUp
    const reading = this.#line.advanceTo(tS)
    const deaf = silences.some(({ fromS, toS }) => tS >= fromS && tS < toS)
    this.#modbus?.deaf(deaf)
    this.#broker?.deaf(deaf)
    const deviceMs = (ms: number) => ms + clockAheadMs + (clockDriftPpm / 1e6) * (ms - this.#begunMs)
    const values = this.#values(reading, deviceMs(nowMs))
    this.#modbus?.show(signals.filter(isModbus), values)
    for (const event of this.#line.truth.slice(this.#told)) {
      const atMs = this.#begunMs + (event.tS * 1000) / speedUp
      this.#onTruth(event, atMs)
      if (event.kind !== 'spark') continue
      this.#sparks++
      const testers = signals.filter(isMqtt).filter((s) => s.quantity === 'spark_event')
      await this.#broker?.show(testers, { ...values, spark_event: this.#sparks }, deviceMs(atMs))
    }
    this.#told = this.#line.truth.length
    await this.#publish(values, nowMs, deviceMs(nowMs))
  }

  /** What is due by its interval; signals of one topic go in one message. */
  async #publish(values: DeviceValues, nowMs: number, deviceMs: number): Promise<void> {
    const byPoll = groupBy(this.#setup.signals.filter(isMqtt), ({ pollMs }) => pollMs)
    for (const [pollMs, due] of byPoll) {
      if (nowMs - (this.#sent.get(pollMs) ?? 0) < pollMs) continue
      this.#sent.set(pollMs, nowMs)
      await this.#broker?.show(due, values, deviceMs)
    }
  }

  #values(reading: SimulatedReading, deviceMs: number): DeviceValues {
    return {
      counter_m: reading.counterM,
      speed_m_min: reading.speedMPerS * 60 * this.#setup.speedUp,
      spark_event: reading.sparks,
      tension_n: reading.tensionN,
      dancer_pct: reading.dancerPct,
      diameter_mm: reading.diameterMm,
      clock: deviceMs / 1000,
    }
  }
}
