import { createServer, type Server, type Socket } from 'node:net'
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

/** A value of each quantity, in its unit. */
export type DeviceValues = Record<SignalQuantity, number>

const HOST = '127.0.0.1'
/** Function code of a request, and the length that its head gives (MODBUS Messaging on TCP/IP V1.0b, 3.1.3). */
const FUNCTION_AT = 7
const LENGTH_AT = 4
const HEAD_BYTES = 6

/** A device that answers over Modbus TCP on this machine's loopback address. */
export class SimulatedModbus {
  readonly port: number
  /** Function codes that it was asked, each once. */
  readonly asked = new Set<number>()
  readonly #server: Server
  readonly #sockets = new Set<Socket>()
  readonly #tables: Record<ModbusSignal['table'], Buffer>
  #deaf = false

  private constructor(server: Server, port: number, tables: Record<ModbusSignal['table'], Buffer>) {
    this.#server = server
    this.port = port
    this.#tables = tables
  }

  static async open(port: number): Promise<SimulatedModbus> {
    const tables = { holding: Buffer.alloc(2 * 65_536), input: Buffer.alloc(2 * 65_536) }
    const server = createServer()
    new ModbusTCPServer(server, tables)
    const device = new SimulatedModbus(server, await listening(server, port), tables)
    server.on('connection', (socket) => device.#connected(socket))
    return device
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
    this.#deaf = deaf
    if (deaf) for (const socket of this.#sockets) socket.destroy()
  }

  async close(): Promise<void> {
    for (const socket of this.#sockets) socket.destroy()
    await closed(this.#server)
  }

  #connected(socket: Socket): void {
    if (this.#deaf) {
      socket.destroy()
      return
    }
    this.#sockets.add(socket)
    socket.on('close', () => this.#sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    socket.on('data', (data) => {
      for (let at = 0; at + FUNCTION_AT < data.length; at += HEAD_BYTES + data.readUInt16BE(at + LENGTH_AT))
        this.asked.add(data[at + FUNCTION_AT]!)
    })
  }
}

/** A broker on this machine's loopback address to which the devices of a line publish. */
export class SimulatedBroker {
  readonly port: number
  /** Topics that a client published to. */
  readonly published: string[] = []
  readonly #aedes: Aedes
  readonly #server: Server
  readonly #sockets = new Set<Socket>()
  #deaf = false

  private constructor(aedes: Aedes, server: Server, port: number) {
    this.#aedes = aedes
    this.#server = server
    this.port = port
  }

  static async open(port: number): Promise<SimulatedBroker> {
    const aedes = await Aedes.createBroker()
    const server = createServer()
    const broker = new SimulatedBroker(aedes, server, await listening(server, port))
    aedes.on('publish', (packet, client) => {
      if (client) broker.published.push(packet.topic)
    })
    server.on('connection', (socket) => broker.#connected(socket))
    return broker
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
    if (this.#deaf) return
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
    this.#deaf = deaf
    if (deaf) for (const socket of this.#sockets) socket.destroy()
  }

  async close(): Promise<void> {
    for (const socket of this.#sockets) socket.destroy()
    await new Promise<void>((resolve) => this.#aedes.close(() => resolve()))
    await closed(this.#server)
  }

  #connected(socket: Socket): void {
    if (this.#deaf) {
      socket.destroy()
      return
    }
    this.#sockets.add(socket)
    socket.on('close', () => this.#sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    this.#aedes.handle(socket)
  }
}

function listening(server: Server, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen({ host: HOST, port }, () => resolve((server.address() as { port: number }).port))
  })
}

function closed(server: Server): Promise<void> {
  return new Promise((resolve) => server.close(() => resolve()))
}
