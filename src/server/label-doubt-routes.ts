import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { LabelDoubt } from '../works/floor-api.ts'
import { actorOf } from './access.ts'
import type { LabelDesk } from './label-desk.ts'
import { errorShape } from './schemas.ts'

const keyParam = z.strictObject({ key: z.string().min(1).max(200) })
const answerBody = z.strictObject({ answer: z.enum(['it is there', 'print again']) })

/** Labels that may have been printed: which, and what whoever looked at the printer says. */
export function labelDoubtRoutes(labels: LabelDesk): FastifyPluginAsyncZod {
  return async (app) => {
    app.get(
      '/api/label-doubts',
      {
        config: { deed: 'look', byItself: true },
        schema: {
          summary: 'Labels that may have been printed, oldest first: somebody is to look at the printer',
        },
      },
      async (): Promise<{ doubts: LabelDoubt[] }> => ({ doubts: labels.doubts() }),
    )
    app.post(
      '/api/label-doubts/:key',
      {
        config: { deed: 'print-label' },
        schema: {
          summary: 'Somebody has looked: it is there, and is booked as printed, or it is printed again',
          params: keyParam,
          body: answerBody,
          response: { 200: z.object({ printer: z.string() }), '4xx': errorShape },
        },
      },
      async (request) => {
        const { params, body } = request
        const isThere = body.answer === 'it is there'
        return { printer: await labels.answerDoubt(params.key, isThere, actorOf(request)) }
      },
    )
  }
}
