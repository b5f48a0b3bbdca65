import { existsSync } from 'node:fs'
import { join } from 'node:path'
import fastifyStatic from '@fastify/static'
import type { FastifyInstance } from 'fastify'
import { LastmetreError } from '../quantity/errors.ts'
import { SCREENS_FOLDER } from './project.ts'

/** The built screens; an address without an ending is a place within them. */
export async function serveScreens(app: FastifyInstance): Promise<void> {
  const built = existsSync(join(SCREENS_FOLDER, 'index.html'))
  if (built) {
    await app.register(fastifyStatic, {
      root: SCREENS_FOLDER,
      wildcard: false,
      cacheControl: false,
      setHeaders(reply, path) {
        // Built files carry a hash of their content in their names.
        const hashed = path.startsWith(join(SCREENS_FOLDER, 'assets'))
        reply.header('cache-control', hashed ? 'public, max-age=31536000, immutable' : 'no-cache')
      },
    })
  }
  app.setNotFoundHandler((request, reply) => {
    const path = request.url.split('?')[0] ?? ''
    const isPlace = request.method === 'GET' && !path.startsWith('/api/') && !/\.[a-z0-9]+$/i.test(path)
    if (isPlace && built) return reply.sendFile('index.html')
    throw new LastmetreError('not-found', 'There is nothing at this address.')
  })
}
