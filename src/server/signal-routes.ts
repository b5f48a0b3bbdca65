import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { LineSignals } from '../works/floor-api.ts'
import { errorShape } from './schemas.ts'
import type { SignalDesk } from './signal-desk.ts'

const lineQuery = z.strictObject({ line: z.string().min(1).max(32) })
const sparkParams = z.strictObject({ id: z.string().min(1).max(100) })

/** What the lines say by themselves, and the sparks that wait for a person. A spark is confirmed by the command find-fault. */
export function signalRoutes(signals: SignalDesk): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/api/floor/signals',
      {
        config: { deed: 'look', byItself: true },
        schema: { summary: 'What a line shows by its signals', querystring: lineQuery },
      },
      async ({ query }): Promise<LineSignals> => signals.signals(query.line),
    )
    app.get(
      '/api/floor/sparks/:id',
      {
        config: { deed: 'look' },
        schema: {
          summary: 'A spark by its id or by the fault it became, with what was read 10 s before and after it',
          params: sparkParams,
        },
      },
      async ({ params }) => signals.spark(params.id),
    )
    app.post(
      '/api/floor/sparks/:id/dismiss',
      {
        config: { deed: 'find-fault' },
        schema: {
          summary: 'A spark that waits is no fault',
          params: sparkParams,
          response: { 204: z.null(), '4xx': errorShape },
        },
      },
      async ({ params }, reply) => {
        await signals.dismiss(params.id)
        return reply.code(204).send(null)
      },
    )
  }
}
