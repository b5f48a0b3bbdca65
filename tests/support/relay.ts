import { type AddressInfo, connect, createServer, type Socket } from 'node:net'
import { onTestFinished } from 'vitest'

/** What stands between a server and its PostgreSQL, and can go silent: nothing is let through, and no connection is closed. */
export interface Relay {
  /** The database's address through it. */
  url: string
  silence(): void
  /** Lets through what waited, and all that comes. */
  speak(): void
}

export async function relayTo(url: string): Promise<Relay> {
  const to = new URL(url)
  const sockets = new Set<Socket>()
  let silent = false
  const follow = (from: Socket, into: Socket) => {
    sockets.add(from)
    if (silent) from.pause()
    from.on('data', (chunk) => into.write(chunk))
    from.on('end', () => into.end())
    from.on('error', () => into.destroy())
    from.on('close', () => sockets.delete(from))
  }
  const server = createServer({ allowHalfOpen: true }, (socket) => {
    const onward = connect({ host: to.hostname, port: Number(to.port), allowHalfOpen: true })
    follow(socket, onward)
    follow(onward, socket)
    if (silent) for (const one of [socket, onward]) one.pause()
  })
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  onTestFinished(() => {
    for (const socket of sockets) socket.destroy()
    server.close()
  })
  const through = new URL(url)
  through.port = String((server.address() as AddressInfo).port)
  return {
    url: through.href,
    silence() {
      silent = true
      for (const socket of sockets) socket.pause()
    },
    speak() {
      silent = false
      for (const socket of sockets) socket.resume()
    },
  }
}
