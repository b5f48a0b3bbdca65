import type { AddressInfo, Socket } from 'node:net'
import { createServer } from 'node:tls'
import { Aedes } from 'aedes'
import { onTestFinished } from 'vitest'
import { issueAuthority, issueServer } from '../../src/server/tls-certificate.ts'

const DAY_MS = 86_400_000
const VALID = { from: new Date(Date.now() - DAY_MS), until: new Date(Date.now() + DAY_MS) }

export const USER = 'lastmetre'
export const PASSWORD = 'three blind reels'

export interface SecuredBroker {
  port: number
  /** PEM of the authority that vouches for it. */
  authority: string
  /** What was shown by whoever asked to be let in: user and password. */
  asked: [string | undefined, string | undefined][]
  send(topic: string, payload: string): Promise<void>
}

/** A broker over TLS on loopback that lets in one user; its certificate is of `address`. */
export async function securedBroker(address = '127.0.0.1'): Promise<SecuredBroker> {
  const authority = issueAuthority('Hall of the tests', [], VALID)
  const issued = issueServer(authority, [address], VALID)
  const asked: SecuredBroker['asked'] = []
  const aedes = await Aedes.createBroker({
    authenticate: (_client, user, password, done) => {
      asked.push([user, password?.toString()])
      if (user === USER && password?.toString() === PASSWORD) done(null, true)
      // the return code of CONNACK for it: MQTT 3.1.1, 3.2.2.3
      else done(Object.assign(new Error('no'), { returnCode: 4 }), false)
    },
  })
  const sockets = new Set<Socket>()
  const server = createServer({ key: issued.key, cert: issued.certificate }, (socket) => {
    sockets.add(socket)
    socket.on('error', () => socket.destroy())
    socket.on('close', () => sockets.delete(socket))
    aedes.handle(socket)
  })
  server.on('tlsClientError', () => undefined)
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  onTestFinished(async () => {
    await new Promise<void>((resolve) => aedes.close(() => resolve()))
    for (const socket of sockets) socket.destroy()
    await new Promise<void>((resolve) => server.close(() => resolve()))
  })
  return {
    port: (server.address() as AddressInfo).port,
    authority: authority.certificate,
    asked,
    send: (topic, payload) =>
      new Promise((resolve, reject) =>
        aedes.publish(
          { cmd: 'publish', dup: false, retain: true, qos: 1, topic, payload: Buffer.from(payload) },
          (error) => (error ? reject(error) : resolve()),
        ),
      ),
  }
}
