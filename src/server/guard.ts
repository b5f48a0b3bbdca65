import type { FastifyInstance } from 'fastify'
import { LastmetreError } from '../quantity/errors.ts'

const LOOPBACK_NAMES: readonly string[] = ['127.0.0.1', 'localhost', '[::1]']

/** Under which names the server is to be reached, and how. */
interface Reach {
  /** Names and addresses as they stand in an address line, IPv6 in brackets; loopback is always among them. */
  names: readonly string[]
  secure: boolean
}

/** Whether it is this machine that asks. */
export function isLoopback(address: string): boolean {
  return /^(::ffff:)?127\.\d{1,3}\.\d{1,3}\.\d{1,3}$/i.test(address) || address === '::1'
}

/**
 * A page of another site must not be able to reach the server through the user's browser: neither under a name of its
 * own that it points at this machine (Host), nor from its own address (Origin).
 */
export function guardReach(app: FastifyInstance, reach: Reach): void {
  const names = new Set([...LOOPBACK_NAMES, ...reach.names.map((name) => name.toLowerCase())])
  const scheme = reach.secure ? 'https' : 'http'
  app.addHook('onRequest', async (request, reply) => {
    const host = request.headers.host ?? ''
    if (!names.has(host.replace(/:\d{1,5}$/, '').toLowerCase())) {
      throw new LastmetreError('host-refused', 'This address is not served.')
    }
    const { origin } = request.headers
    if (origin !== undefined && origin.toLowerCase() !== `${scheme}://${host.toLowerCase()}`) {
      throw new LastmetreError('host-refused', 'A page of another site may not use this server.')
    }
    if (request.headers['sec-fetch-site'] === 'cross-site' && request.method !== 'GET') {
      throw new LastmetreError('host-refused', 'A page of another site may not use this server.')
    }
    reply.headers(SECURITY_HEADERS)
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store')
  })
}

const SECURITY_HEADERS = {
  'content-security-policy': [
    "default-src 'self'",
    "img-src 'self' data:",
    "font-src 'self' data:",
    "object-src 'none'",
    "base-uri 'none'",
    "form-action 'self'",
    "frame-ancestors 'none'",
  ].join('; '),
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
  'x-frame-options': 'DENY',
}
