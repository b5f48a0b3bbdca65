import type { AddressInfo } from 'node:net'
import { resolve } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { LastmetreError } from '../quantity/errors.ts'
import { openStore } from '../store/open-store.ts'
import { buildApp } from './app.ts'
import { readWholeFolder } from './kept-more.ts'
import { DEFAULT_DATA_FOLDER, DEMO_FOLDER } from './project.ts'
import { type Reached, type ReachOptions, reachOf } from './reach.ts'
import { openSharedPlanning, type SharedPlanning } from './shared-planning.ts'
import { openSharing, type Sharing } from './sharing.ts'
import { readTls, type ServedTls } from './tls-folder.ts'
import { serveTrustPage } from './tls-trust-page.ts'

/** Where the screens are unless another port is asked for. */
export const FIRST_PORT = 5151
/** A busy port takes the next one, so many times. */
const NEXT_PORTS = 20

export interface ServeOptions {
  /** Works folder to open; without one the works of last time, or the demo. */
  folder: string | null
  /** null: the usual one. 0: any free one. */
  port: number | null
  dataFolder: string | null
  /** On PostgreSQL: also takes planning jobs off the queue. */
  takesJobs: boolean
  off: OffLoopback
}

export interface OffLoopback extends ReachOptions {
  /** Folder of makeCertificates. */
  tlsFolder: string | null
  /** Port of the page that gives out the authority's certificate; null: none. */
  trustPort: number | null
}

export interface RunningServer {
  url: string
  /** Addresses for other machines; none on loopback. */
  elsewhere: string[]
  trustPage: string | null
  warnings: string[]
  close(): Promise<void>
}

/**
 * Opens the store and a works, and answers: on this machine's loopback address, unless told otherwise. Throws
 * 'owner-missing' off loopback where no owner has an account, and 'tls-missing' where it would be plain http unasked.
 */
export async function serve(options: ServeOptions): Promise<RunningServer> {
  const { off } = options
  const tls = off.tlsFolder === null ? null : await readTls(off.tlsFolder)
  const reach = reachOf(off, tls)
  if (off.trustPort !== null && tls === null) {
    throw new LastmetreError(
      'tls-missing',
      'The page for tablets gives out a certificate, and there is none.',
    )
  }
  const store = await openStore(resolve(options.dataFolder ?? DEFAULT_DATA_FOLDER))
  let http: FastifyInstance | undefined
  let shared: SharedPlanning | undefined
  let sharing: Sharing | undefined
  try {
    shared = await openSharedPlanning(store, options.takesJobs)
    sharing = await openSharing(store)
    const { planner, follower } = shared
    const app = await buildApp(store.db, { names: reach.names, tls, planner, follower, sharing })
    http = app.http
    if (reach.offLoopback) await app.access.accounts.needOwner()
    if (options.folder !== null) await app.works.reopen(await readWholeFolder(options.folder))
    else if (!app.works.isOpen()) await app.works.open(await readWholeFolder(DEMO_FOLDER))
    const port = await listen(http, reach.host, options.port ?? FIRST_PORT)
    const addresses = addressesOf(reach, port, tls)
    const trust =
      off.trustPort === null || tls === null
        ? null
        : await serveTrustPage(
            { host: reach.host, port: off.trustPort },
            { certificate: tls.authority, fingerprint: tls.fingerprint },
            addresses.elsewhere[0] ?? addresses.url,
          )
    const [opened, planning, others] = [http, shared, sharing]
    return {
      ...addresses,
      trustPage: trust && `http://${reach.names[0] ?? '127.0.0.1'}:${trust.port}/`,
      warnings: reach.warnings,
      async close() {
        await trust?.close()
        await opened.close()
        await others.close()
        await planning.close()
        await store.close()
      },
    }
  } catch (error) {
    await http?.close()
    await sharing?.close()
    await shared?.close()
    await store.close()
    throw error
  }
}

/** Host 0.0.0.0 answers on loopback too; an address of its own answers there only. */
function addressesOf(
  { host, offLoopback, names }: Reached,
  port: number,
  tls: ServedTls | null,
): { url: string; elsewhere: string[] } {
  const scheme = tls === null ? 'http' : 'https'
  const elsewhere = offLoopback
    ? names.filter((name) => !LOOPBACK.test(name)).map((name) => `${scheme}://${name}:${port}/`)
    : []
  const onMachine = !offLoopback || host === '0.0.0.0' || host === '::'
  return { url: onMachine ? `${scheme}://127.0.0.1:${port}/` : (elsewhere[0] ?? ''), elsewhere }
}

const LOOPBACK = /^(127\.|localhost$|\[::1\]$|\[0:0:0:0:0:0:0:1\]$|\[fe80:)/i

async function listen(http: FastifyInstance, host: string, firstPort: number): Promise<number> {
  const lastPort = firstPort === 0 ? 0 : Math.min(firstPort + NEXT_PORTS, 65_535)
  for (let port = firstPort; port <= lastPort; port++) {
    try {
      await http.listen({ host, port })
      return (http.server.address() as AddressInfo).port
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException
      if (code !== 'EADDRINUSE' && code !== 'EACCES') throw error
    }
  }
  throw new LastmetreError('port-taken', `The ports ${firstPort} to ${lastPort} are all taken.`)
}
