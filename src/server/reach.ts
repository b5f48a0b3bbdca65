import { networkInterfaces } from 'node:os'
import { LastmetreError } from '../quantity/errors.ts'
import { inAddressLine } from './access-address.ts'
import { isLoopback } from './guard.ts'
import type { ServedTls } from './tls-folder.ts'

export interface ReachOptions {
  /** Address to listen on; null: loopback. */
  host: string | null
  /** Names under which the server is called besides its addresses. */
  hostNames: readonly string[]
  /** Plain http off loopback, knowing what that means. */
  plainHttp: boolean
}

/** Off loopback, and what to say before it is served. */
export interface Reached {
  host: string
  offLoopback: boolean
  /** As they stand in an address line. */
  names: string[]
  /** What works less, one sentence each. */
  warnings: string[]
}

const EVERY_ADDRESS = new Set(['0.0.0.0', '::'])

/** Where to listen and under which names. Throws 'tls-missing' off loopback with neither TLS nor a word for plain http. */
export function reachOf({ host: asked, hostNames, plainHttp }: ReachOptions, tls: ServedTls | null): Reached {
  const host = asked === null || asked === 'localhost' ? '127.0.0.1' : asked
  const offLoopback = !isLoopback(host)
  if (offLoopback && tls === null && !plainHttp) {
    throw new LastmetreError(
      'tls-missing',
      'Off this machine PINs and records would go through the network in the open.',
    )
  }
  const own = EVERY_ADDRESS.has(host) ? ownAddresses() : [host]
  const names = [...new Set([...own, ...hostNames, ...(tls?.hosts ?? [])].map(inAddressLine))]
  const warnings = tls?.warning ? [tls.warning] : []
  if (offLoopback && tls === null) warnings.push(...PLAIN_HTTP)
  return { host, offLoopback, names, warnings }
}

const PLAIN_HTTP = [
  'Without TLS whoever listens in the network can read PINs, orders and prices, and act as who is signed in.',
  'Without TLS a tablet keeps and sends records, but a page that is reloaded while the network is down does not come back, and there is neither camera nor a screen that stays awake.',
]

function ownAddresses(): string[] {
  return Object.values(networkInterfaces()).flatMap((all) => (all ?? []).map(({ address }) => address))
}
