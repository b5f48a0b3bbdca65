import type { Socket } from 'node:net'
import { ModbusTCPClient, UserRequestError } from 'jsmodbus'
import { readOnlySocket } from './read-only-socket.ts'
import type { RegisterBlock } from './register-blocks.ts'

const CONNECT_MS = 3_000
const ANSWER_MS = 2_000
/** What a device may send between two questions; an answer has at most 260 bytes. */
const MAX_ANSWER_BYTES = 4_096

/** A connection to a device that can read registers and nothing else. */
export class RegisterClient {
  readonly #socket: Socket
  readonly #client: ModbusTCPClient
  #bytes = 0

  private constructor(socket: Socket, unitId: number) {
    this.#socket = socket
    this.#client = new ModbusTCPClient(socket, unitId, ANSWER_MS)
    // An answer that never ends would be gathered for ever.
    socket.on('data', (data) => {
      this.#bytes += data.length
      if (this.#bytes > MAX_ANSWER_BYTES) socket.destroy(new Error('more came than was asked for'))
    })
  }

  /** Throws where nobody answers within three seconds, or when `signal` is aborted. */
  static async open(at: { host: string; port: number; unitId: number }, signal: AbortSignal) {
    const socket = readOnlySocket()
    const client = new RegisterClient(socket, at.unitId)
    const stop = () => socket.destroy()
    signal.addEventListener('abort', stop, { once: true })
    socket.on('close', () => signal.removeEventListener('abort', stop))
    await new Promise<void>((resolve, reject) => {
      socket.setTimeout(CONNECT_MS, () => socket.destroy(new Error('no connection in time')))
      // Stays for the life of the socket: an error in between two questions closes it, and the next question says so.
      socket.on('error', reject)
      socket.once('close', () => reject(new Error('the connection was closed')))
      socket.once('connect', () => {
        socket.setTimeout(0)
        socket.setNoDelay(true)
        resolve()
      })
      socket.connect({ host: at.host, port: at.port })
    })
    return client
  }

  /**
   * The registers of a block, two bytes each. `refused`: the device answered that it does not give them. Throws where
   * the answer does not come, or makes no sense: then the connection is of no use any more.
   */
  async read({ table, start, count }: RegisterBlock): Promise<{ bytes: Uint8Array } | { refused: string }> {
    this.#bytes = 0
    try {
      const asked =
        table === 'holding'
          ? this.#client.readHoldingRegisters(start, count)
          : this.#client.readInputRegisters(start, count)
      const { response } = await asked
      const bytes = new Uint8Array(response.body.valuesAsBuffer)
      if (bytes.length !== 2 * count) return { refused: `gave ${bytes.length} bytes for ${count} registers` }
      return { bytes }
    } catch (error) {
      if (error instanceof UserRequestError && error.err === 'ModbusException')
        return { refused: 'refused to give these registers' }
      throw new Error(error instanceof Error ? error.message : whyOf(error))
    }
  }

  close(): void {
    this.#socket.destroy()
  }
}

function whyOf(error: unknown): string {
  const { err, message } = error as { err?: string; message?: string }
  return err === 'Timeout' ? 'no answer in time' : (message ?? 'the answer makes no sense')
}
