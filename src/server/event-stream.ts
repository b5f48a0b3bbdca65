import type { IncomingMessage } from 'node:http'
import type { FastifyReply } from 'fastify'

/** A connection that says nothing for long is closed by what stands between. */
const HEARTBEAT_MS = 15_000

/** Begins an answer of server-sent events, with the headers that were set so far; `left` is called once, when the connection has closed. */
export function openEventStream(request: IncomingMessage, reply: FastifyReply, left: () => void): void {
  const heartbeat = setInterval(() => reply.raw.write(': still here\n\n'), HEARTBEAT_MS)
  reply.hijack()
  for (const [name, value] of Object.entries(reply.getHeaders()))
    if (value !== undefined) reply.raw.setHeader(name, value)
  reply.raw.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' })
  request.on('close', () => {
    clearInterval(heartbeat)
    left()
  })
}
