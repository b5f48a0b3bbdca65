import { connect } from 'node:net'
import { LabelTaken } from './label-taken.ts'

/**
 * Sends bytes to a port and closes; done when the printer has taken them all. Rejects where that is not so within `maxMs`, with
 * LabelTaken where all had gone out before.
 */
export function sendSocket(
  { host, port }: { host: string; port: number },
  bytes: Uint8Array,
  maxMs: number,
): Promise<void> {
  return new Promise((resolve, reject) => {
    const socket = connect({ host, port })
    const limit = setTimeout(() => socket.destroy(new Error('it did not answer in time')), maxMs)
    socket.on('error', (error) =>
      reject(socket.writableFinished ? new LabelTaken(error.message, { cause: error }) : error),
    )
    socket.on('close', (hadError) => {
      clearTimeout(limit)
      if (!hadError) resolve()
    })
    // what a printer says back is of no use here, but unread it would keep the socket open
    socket.resume()
    // one that hangs up at once has taken nothing; later it cannot be told from one that has all
    socket.on('end', () => {
      if (!socket.writableFinished) socket.destroy(new Error('it hung up before it had the whole label'))
    })
    socket.end(bytes)
  })
}
