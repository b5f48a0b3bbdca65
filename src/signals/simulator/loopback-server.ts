import type { Server, Socket } from 'node:net'

const HOST = '127.0.0.1'

/** What a simulated device is reached by on this machine's loopback address; it can be made deaf. */
export class LoopbackServer {
  readonly port: number
  readonly #server: Server
  readonly #sockets = new Set<Socket>()
  readonly #take: (socket: Socket) => void
  #deaf = false

  private constructor(server: Server, port: number, take: (socket: Socket) => void) {
    this.#server = server
    this.port = port
    this.#take = take
  }

  /** Listens; 0: any free port. `take` is given each connection that is let in. */
  static async open(server: Server, port: number, take: (socket: Socket) => void): Promise<LoopbackServer> {
    const opened = new LoopbackServer(server, await listening(server, port), take)
    server.on('connection', (socket) => opened.#connected(socket))
    return opened
  }

  get deaf(): boolean {
    return this.#deaf
  }

  /** A deaf one closes what is open and lets nobody in. */
  set deaf(deaf: boolean) {
    this.#deaf = deaf
    if (deaf) for (const socket of this.#sockets) socket.destroy()
  }

  async close(): Promise<void> {
    for (const socket of this.#sockets) socket.destroy()
    await new Promise<void>((resolve) => this.#server.close(() => resolve()))
  }

  #connected(socket: Socket): void {
    if (this.#deaf) {
      socket.destroy()
      return
    }
    this.#sockets.add(socket)
    socket.on('close', () => this.#sockets.delete(socket))
    socket.on('error', () => socket.destroy())
    this.#take(socket)
  }
}

function listening(server: Server, port: number): Promise<number> {
  return new Promise((resolve, reject) => {
    server.once('error', reject)
    server.listen({ host: HOST, port }, () => resolve((server.address() as { port: number }).port))
  })
}
