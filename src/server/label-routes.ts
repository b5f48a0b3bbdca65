import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { isId } from '../works/column.ts'
import { actorOf } from './access.ts'
import type { LabelDesk } from './label-desk.ts'
import { errorShape } from './schemas.ts'

const serialParam = z.strictObject({ serial: z.string().refine(isId) })
const reprintBody = z.strictObject({ reason: z.string().trim().min(1).max(200) })

/** Labels of pieces: printed again, or as a PDF where no printer is recorded. */
export function labelRoutes(labels: LabelDesk): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/api/labels/:serial',
      {
        config: { deed: 'print-label' },
        schema: {
          summary: 'Prints the label of a piece again on the printer of its line; booked once it is printed',
          params: serialParam,
          body: reprintBody,
          response: { 200: z.object({ printer: z.string() }), '4xx': errorShape },
        },
      },
      async (request) => ({
        printer: await labels.reprint(request.params.serial, request.body.reason, actorOf(request)),
      }),
    )
    app.post(
      '/api/labels/:serial/sheet',
      {
        config: { deed: 'print-label' },
        schema: {
          summary: 'A new label of a piece as a PDF, for who prints it at a desk; booked as printed',
          params: serialParam,
          body: reprintBody,
        },
      },
      async (request, reply) => {
        const { serial } = request.params
        const pdf = await labels.sheet(serial, request.body.reason, actorOf(request))
        return reply.header('content-type', 'application/pdf').send(Buffer.from(pdf))
      },
    )
    app.get(
      '/api/labels/:serial',
      {
        config: { deed: 'look' },
        schema: { summary: 'The label of a piece as a PDF', params: serialParam },
      },
      async (request, reply) => {
        const { serial } = request.params
        return reply
          .header('content-type', 'application/pdf')
          .header('content-disposition', `attachment; filename="label-${serial}.pdf"`)
          .send(Buffer.from(await labels.pdf(serial)))
      },
    )
  }
}
