import type { FastifyReply, FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import type { PlanAnswer } from '../works/api.ts'
import { openEventStream } from './event-stream.ts'
import type { FloorDesk } from './floor-desk.ts'
import type { NewestPlan } from './newest-plan.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { errorShape, planBody, progressShape } from './schemas.ts'

/** Progress is told at most so often; a change of state at once. */
const TELL_EVERY_MS = 150
const ANSWERS = { 200: progressShape, '4xx': errorShape }

/** Making a plan and watching it. */
export function planRoutes(
  planning: PlanningDesk,
  newest: NewestPlan,
  floor: FloorDesk,
): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/api/plan',
      {
        config: { deed: 'plan' },
        schema: { summary: 'Begins to plan the works', body: planBody, response: ANSWERS },
      },
      async (request) => planning.start(await floor.now(), request.body),
    )
    app.post(
      '/api/plan/stop',
      {
        config: { deed: 'plan' },
        schema: { summary: 'Ends planning with the best plan so far', response: ANSWERS },
      },
      async () => planning.stop(),
    )
    app.get(
      '/api/plan/progress',
      {
        config: { deed: 'look', byItself: true },
        schema: { summary: 'How planning stands', response: ANSWERS },
      },
      async () => planning.progress(),
    )
    app.get(
      '/api/plan/events',
      {
        config: { deed: 'look', byItself: true },
        schema: { summary: 'The same as it changes: server-sent events' },
      },
      async (request, reply) => sendEvents(planning, request, reply),
    )
    app.get(
      '/api/plan',
      {
        config: { deed: 'look', byItself: true },
        schema: {
          summary: 'The newest plan of the works: { planId, worksVersion, stale, madeAt, seconds, plan }',
        },
      },
      async (): Promise<PlanAnswer> => {
        const found = await newest.found()
        const { row, plan } = found
        const now = await floor.now()
        return {
          planId: row.id,
          worksVersion: row.works_version,
          stale: !newest.isOf(now, found),
          inForce: now.state.head.releasedPlan === row.id,
          madeAt: row.made_at,
          seconds: row.seconds,
          plan,
        }
      },
    )
  }
}

function sendEvents(planning: PlanningDesk, request: FastifyRequest, reply: FastifyReply): void {
  let timer: NodeJS.Timeout | undefined
  let state: string | undefined
  const tell = () => {
    timer = undefined
    reply.raw.write(`data: ${JSON.stringify(planning.progress())}\n\n`)
  }
  // Listened to before the head is sent, so that one window too many is still answered as an error.
  const leave = planning.listen((progress) => {
    if (progress.state !== state) {
      clearTimeout(timer)
      timer = setTimeout(tell, 0)
      state = progress.state
    } else timer ??= setTimeout(tell, TELL_EVERY_MS)
  })
  openEventStream(request.raw, reply, () => {
    leave()
    clearTimeout(timer)
  })
}
