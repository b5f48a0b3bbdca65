import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Plan } from '../plan/plan.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { latestPlan, planById } from '../store/plans.ts'
import type { PlanRow } from '../store/tables.ts'
import { openedInVersion } from '../store/works-versions.ts'
import type { PlanAnswer } from '../works/api.ts'
import { inWorker } from './in-worker.ts'
import type { PapersOrder } from './papers-worker.ts'
import { isPlanFileName, type PlanAndInput, printedTime } from './plan-papers.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { errorShape, planBody, progressShape } from './schemas.ts'
import type { WorksDesk } from './works-desk.ts'

/** A connection that says nothing for long is closed by what stands between. */
const HEARTBEAT_MS = 15_000
/** Progress is told at most so often. */
const TELL_EVERY_MS = 150
const ANSWERS = { 200: progressShape, '4xx': errorShape }
const CONTENT_TYPES: Record<string, string> = {
  json: 'application/json; charset=utf-8',
  csv: 'text/csv; charset=utf-8',
  pdf: 'application/pdf',
  zip: 'application/zip',
}

/** Making a plan, watching it, and handing it out. */
export function planRoutes(db: Store, works: WorksDesk, planning: PlanningDesk): FastifyPluginAsyncZod {
  /** The newest plan of the works that is open: the one being made, once there is a first, else a stored one. */
  const newest = async (): Promise<{ row: PlanRow; plan: Plan }> => {
    const opened = await openedInVersion(db, works.current().row.version)
    const best = planning.best()
    const running = best === null ? null : await planById(db, best.planId)
    if (best !== null && running !== null && running.works_version >= opened) {
      return { row: running, plan: best.plan }
    }
    const row = await latestPlan(db, opened)
    if (row?.plan_json == null) throw new LastmetreError('no-plan', 'There is no plan of this works yet.')
    return { row, plan: JSON.parse(row.plan_json) as Plan }
  }
  const withInput = async (): Promise<PlanAndInput> => {
    const { row, plan } = await newest()
    const { works: input } = await works.version(row.works_version)
    return {
      input,
      plan,
      meta: {
        planNumber: planNumber(row.id),
        madeAt: printedTime(row.made_at),
        worksVersion: row.works_version,
      },
    }
  }
  return async (app) => {
    app.post(
      '/api/plan',
      { schema: { summary: 'Begins to plan the works', body: planBody, response: ANSWERS } },
      async (request) => planning.start(works.current(), request.body),
    )
    app.post(
      '/api/plan/stop',
      { schema: { summary: 'Ends planning with the best plan so far', response: ANSWERS } },
      async () => planning.stop(),
    )
    app.get(
      '/api/plan/progress',
      { schema: { summary: 'How planning stands', response: ANSWERS } },
      async () => planning.progress(),
    )
    app.get(
      '/api/plan/events',
      { schema: { summary: 'The same as it changes: server-sent events' } },
      async (request, reply) => sendEvents(planning, request, reply),
    )
    app.get(
      '/api/plan',
      {
        schema: {
          summary: 'The newest plan of the works: { planId, worksVersion, stale, madeAt, seconds, plan }',
        },
      },
      async (): Promise<PlanAnswer> => {
        const { row, plan } = await newest()
        return {
          planId: row.id,
          worksVersion: row.works_version,
          stale: row.works_version !== works.current().row.version,
          madeAt: row.made_at,
          seconds: row.seconds,
          plan,
        }
      },
    )
    app.get(
      '/api/plan/files/:name',
      {
        schema: {
          summary: 'One paper or file of the newest plan',
          params: z.object({ name: z.string().max(100) }),
        },
      },
      async (request, reply) => {
        const { name } = request.params
        if (!isPlanFileName(name)) throw new LastmetreError('not-found', 'A plan has no such file.')
        return sendFile(reply, name, await drawn(name, await withInput()))
      },
    )
    app.get(
      '/api/plan/pack.zip',
      { schema: { summary: 'All papers and files of the newest plan' } },
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

/** As it stands on sheets and labels. */
function planNumber(id: number): string {
  return `P${String(id).padStart(4, '0')}`
}

function sendFile(reply: FastifyReply, name: string, bytes: Uint8Array): FastifyReply {
  const ending = name.slice(name.lastIndexOf('.') + 1)
  return reply
    .header('content-type', CONTENT_TYPES[ending] ?? 'application/octet-stream')
    .header('content-disposition', `attachment; filename="${name}"`)
    .send(Buffer.from(bytes))
}

function sendEvents(planning: PlanningDesk, request: FastifyRequest, reply: FastifyReply): void {
  let timer: NodeJS.Timeout | undefined
  let state: string | undefined
  const tell = () => {
    timer = undefined
    const progress = planning.progress()
    state = progress.state
    reply.raw.write(`data: ${JSON.stringify(progress)}\n\n`)
  }
  // Listened to before the head is sent, so that one window too many is still answered as an error.
  const leave = planning.listen((progress) => {
    if (progress.state !== state) {
      clearTimeout(timer)
      timer = setTimeout(tell, 0)
      state = progress.state
    } else timer ??= setTimeout(tell, TELL_EVERY_MS)
  })
  const heartbeat = setInterval(() => reply.raw.write(': still here\n\n'), HEARTBEAT_MS)
  reply.hijack()
  for (const [name, value] of Object.entries(reply.getHeaders())) {
    if (value !== undefined) reply.raw.setHeader(name, value)
  }
  reply.raw.writeHead(200, { 'content-type': 'text/event-stream', 'cache-control': 'no-store' })
  request.raw.on('close', () => {
    leave()
    clearTimeout(timer)
    clearInterval(heartbeat)
  })
}
