import { Socket } from 'node:net'

/** A request to read registers: 7 bytes of head, function, start, count (MODBUS Messaging on TCP/IP V1.0b, 3.1). */
const READ_REQUEST_BYTES = 12
const FUNCTION_AT = 7
const READ_FUNCTIONS: ReadonlySet<unknown> = new Set([3, 4])

/**
 * A socket that sends nothing but questions for registers: whatever the library behind it could do, anything else throws
 * before a byte leaves. The product never writes to a machine.
 */
export function readOnlySocket(): Socket {
  const socket = new Socket()
  const send = socket.write.bind(socket) as (...args: unknown[]) => boolean
  const guarded = (data: unknown, ...rest: unknown[]): boolean => {
    const reads =
      data instanceof Uint8Array &&
      data.length === READ_REQUEST_BYTES &&
      READ_FUNCTIONS.has(data[FUNCTION_AT])
    if (!reads) throw new Error('Only functions 3 and 4 may be sent to a device.')
    return send(data, ...rest)
  }
  socket.write = guarded as Socket['write']
  return socket
}
