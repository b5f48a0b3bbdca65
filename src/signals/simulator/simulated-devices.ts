import { createServer } from 'node:net'
import { Aedes } from 'aedes'
import { ModbusTCPServer } from 'jsmodbus'
import {
  type ModbusSignal,
  type MqttSignal,
  registersOf,
  type SignalQuantity,
} from '../../works/more-signals.ts'
import { withPointer } from '../json-pointer.ts'
import { registersOfValue } from '../register-value.ts'
import { LoopbackServer } from './loopback-server.ts'

/** A value of each quantity, in its unit. */
export type DeviceValues = Record<SignalQuantity, number>

/** Function code of a request, and the length that its head gives (MODBUS Messaging on TCP/IP V1.0b, 3.1.3). */
const FUNCTION_AT = 7
const LENGTH_AT = 4
const HEAD_BYTES = 6

/** A device that answers over Modbus TCP on this machine's loopback address. */
export class SimulatedModbus {
  /** Function codes that it was asked, each once. */
  readonly asked: ReadonlySet<number>
  readonly #server: LoopbackServer
  readonly #tables: Record<ModbusSignal['table'], Buffer>

  private constructor(
    server: LoopbackServer,
    tables: Record<ModbusSignal['table'], Buffer>,
    asked: ReadonlySet<number>,
  ) {
    this.#server = server
    this.#tables = tables
    this.asked = asked
  }

  static async open(port: number): Promise<SimulatedModbus> {
    const tables = { holding: Buffer.alloc(2 * 65_536), input: Buffer.alloc(2 * 65_536) }
    const asked = new Set<number>()
    const server = createServer()
    new ModbusTCPServer(server, tables)
    const reached = await LoopbackServer.open(server, port, (socket) =>
      socket.on('data', (data) => {
        for (let at = 0; at + FUNCTION_AT < data.length; at += HEAD_BYTES + data.readUInt16BE(at + LENGTH_AT))
          asked.add(data[at + FUNCTION_AT]!)
      }),
    )
    return new SimulatedModbus(reached, tables, asked)
  }

  get port(): number {
    return this.#server.port
  }

  show(signals: readonly ModbusSignal[], values: DeviceValues): void {
    for (const signal of signals)
      this.#tables[signal.table].set(registersOfValue(values[signal.quantity], signal), 2 * signal.register)
  }

  /** Writes bytes as they are, for what no device should send. */
  put(signal: ModbusSignal, bytes: Uint8Array): void {
    this.#tables[signal.table].set(bytes.subarray(0, 2 * registersOf(signal.type)), 2 * signal.register)
  }

  /** A deaf one closes what is open and lets nobody in. */
  deaf(deaf: boolean): void {
    this.#server.deaf = deaf
  }

  async close(): Promise<void> {
    await this.#server.close()
  }
}

/** A broker on this machine's loopback address to which the devices of a line publish. */
export class SimulatedBroker {
  /** Topics that a client published to. */
  readonly published: string[] = []
  readonly #aedes: Aedes
  readonly #server: LoopbackServer

  private constructor(aedes: Aedes, server: LoopbackServer) {
    this.#aedes = aedes
    this.#server = server
    aedes.on('publish', (packet, client) => {
      if (client) this.published.push(packet.topic)
    })
  }

  static async open(port: number): Promise<SimulatedBroker> {
    const aedes = await Aedes.createBroker()
    const server = await LoopbackServer.open(createServer(), port, (socket) => aedes.handle(socket))
    return new SimulatedBroker(aedes, server)
  }

  get port(): number {
    return this.#server.port
  }

  /** Sends one message for each topic of the signals, retained, at quality of service 1. `sourceMs`: the devices' clock. */
  async show(signals: readonly MqttSignal[], values: DeviceValues, sourceMs: number): Promise<void> {
    const payloads = new Map<string, unknown>()
    for (const { topic, pointer, timePointer, quantity, scale } of signals) {
      const value = Math.round((values[quantity] / scale) * 1e6) / 1e6
      let payload = withPointer(payloads.get(topic), pointer, value)
      if (timePointer !== null) payload = withPointer(payload, timePointer, Math.round(sourceMs))
      payloads.set(topic, payload)
    }
    if (this.#server.deaf) return
    for (const [topic, payload] of payloads) await this.send(topic, JSON.stringify(payload))
  }

  send(topic: string, payload: string): Promise<void> {
    return new Promise((resolve, reject) =>
      this.#aedes.publish(
        { cmd: 'publish', dup: false, retain: true, qos: 1, topic, payload: Buffer.from(payload) },
        (error) => (error ? reject(error) : resolve()),
      ),
    )
  }

  /** A deaf one closes what is open, lets nobody in and sends nothing. */
  deaf(deaf: boolean): void {
    this.#server.deaf = deaf
  }

  async close(): Promise<void> {
    this.#server.deaf = true
    await new Promise<void>((resolve) => this.#aedes.close(() => resolve()))
    await this.#server.close()
  }
}
