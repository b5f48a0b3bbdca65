import type { AddressInfo } from 'node:net'
import { resolve } from 'node:path'
import type { FastifyInstance } from 'fastify'
import { LastmetreError } from '../quantity/errors.ts'
import { openStore } from '../store/open-store.ts'
import { buildApp } from './app.ts'
import { readWholeFolder } from './kept-more.ts'
import { DEFAULT_DATA_FOLDER, DEMO_FOLDER } from './project.ts'

const FIRST_PORT = 5151
/** A busy port takes the next one, so many times. */
const NEXT_PORTS = 20

export interface ServeOptions {
  /** Works folder to open; without one the works of last time, or the demo. */
  folder: string | null
  /** null: the usual one. 0: any free one. */
  port: number | null
  dataFolder: string | null
}

export interface RunningServer {
  url: string
  close(): Promise<void>
}

/** Opens the store and a works, and answers on this machine's loopback address only. */
export async function serve(options: ServeOptions): Promise<RunningServer> {
  const store = await openStore(resolve(options.dataFolder ?? DEFAULT_DATA_FOLDER))
  let http: FastifyInstance | undefined
  try {
    const app = await buildApp(store.db)
    http = app.http
    if (options.folder !== null) await app.works.reopen(await readWholeFolder(options.folder))
    else if (!app.works.isOpen()) await app.works.open(await readWholeFolder(DEMO_FOLDER))
    const port = await listen(http, options.port ?? FIRST_PORT)
    const opened = http
    return {
      url: `http://127.0.0.1:${port}/`,
      async close() {
        await opened.close()
        await store.close()
      },
    }
  } catch (error) {
    await http?.close()
    await store.close()
    throw error
  }
}

async function listen(http: FastifyInstance, firstPort: number): Promise<number> {
  const lastPort = firstPort === 0 ? 0 : Math.min(firstPort + NEXT_PORTS, 65_535)
  for (let port = firstPort; port <= lastPort; port++) {
    try {
      await http.listen({ host: '127.0.0.1', port })
      return (http.server.address() as AddressInfo).port
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException
      if (code !== 'EADDRINUSE' && code !== 'EACCES') throw error
    }
  }
  throw new LastmetreError('port-taken', `The ports ${firstPort} to ${lastPort} are all taken.`)
}
