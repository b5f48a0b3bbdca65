import type { FastifyReply } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { planNumber } from '../dispatch/paper-meta.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { inWorker } from './in-worker.ts'
import type { NewestPlan } from './newest-plan.ts'
import type { PapersOrder } from './papers-worker.ts'
import { worksOfPlan } from './plan-floors.ts'
import { isPlanFileName, type PlanAndInput, printedTime } from './plan-papers.ts'
import type { WorksDesk } from './works-desk.ts'

const CONTENT_TYPES: Record<string, string> = {
  json: 'application/json; charset=utf-8',
  csv: 'text/csv; charset=utf-8',
  pdf: 'application/pdf',
  zip: 'application/zip',
}

/** Handing out the newest plan, drawn from the state of the works that it was made for. */
export function paperRoutes(db: Store, works: WorksDesk, newest: NewestPlan): FastifyPluginAsyncZod {
  const withInput = async (): Promise<PlanAndInput> => {
    const { row, plan } = await newest.found()
    const { works: input } = await worksOfPlan(db, works, row)
    const meta = {
      planNumber: planNumber(row.id),
      madeAt: printedTime(row.made_at, input.site.works.todayDate),
      worksVersion: row.works_version,
    }
    return { input, plan, meta }
  }
  return async (app) => {
    app.get(
      '/api/plan/files/:name',
      {
        config: { deed: 'look' },
        schema: {
          summary: 'One paper or file of the newest plan',
          params: z.object({ name: z.string().max(100) }),
          querystring: z.strictObject({
            mounting: z.coerce
              .number()
              .int()
              .min(1)
              .exactOptional()
              .describe('Run sheets: of this mounting only'),
          }),
        },
      },
      async (request, reply) => {
        const { name } = request.params
        const { mounting } = request.query
        if (!isPlanFileName(name)) throw new LastmetreError('not-found', 'A plan has no such file.')
        const source = await withInput()
        if (mounting === undefined) return sendFile(reply, name, await drawn(name, source))
        if (name !== 'run-sheets.pdf' || mounting > source.plan.mountings.length)
          throw new LastmetreError('not-found', `The plan has no run sheet ${mounting}.`)
        return sendFile(reply, `run-sheet-${mounting}.pdf`, await drawn(name, { ...source, mounting }))
      },
    )
    app.get(
      '/api/plan/pack.zip',
      { config: { deed: 'look' }, schema: { summary: 'All papers and files of the newest plan' } },
      async (_request, reply) => {
        const source = await withInput()
        return sendFile(reply, `plan-${source.meta.planNumber}.zip`, await drawn('pack.zip', source))
      },
    )
  }
}

/** Papers are drawn in a thread of their own: some hundred labels take seconds. */
async function drawn(file: PapersOrder['file'], source: PlanAndInput): Promise<Uint8Array> {
  const order: PapersOrder = { file, ...source }
  const exceeded = new LastmetreError('unexpected', 'The papers could not be drawn.')
  return inWorker('papers-worker', order, { maxMs: 120_000, maxHeapMb: 512, exceeded })
}

function sendFile(reply: FastifyReply, name: string, bytes: Uint8Array): FastifyReply {
  const ending = name.slice(name.lastIndexOf('.') + 1)
  return reply
    .header('content-type', CONTENT_TYPES[ending] ?? 'application/octet-stream')
    .header('content-disposition', `attachment; filename="${name}"`)
    .send(Buffer.from(bytes))
}
