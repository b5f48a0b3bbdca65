import fastifyMultipart from '@fastify/multipart'
import fastifySwagger from '@fastify/swagger'
import Fastify, { type FastifyInstance } from 'fastify'
import { jsonSchemaTransform, serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod'
import type { Store } from '../store/dialect.ts'
import { benchRoutes } from './bench-routes.ts'
import { counterRoutes } from './counter-routes.ts'
import { answerErrors } from './error-answer.ts'
import { guardLoopback } from './guard.ts'
import { lineRoutes } from './line-routes.ts'
import { ordersRoutes } from './orders-routes.ts'
import { paperRoutes } from './paper-routes.ts'
import { planRoutes } from './plan-routes.ts'
import { PlanningDesk } from './planning-desk.ts'
import { productVersion } from './project.ts'
import { replanRoutes } from './replan-routes.ts'
import { serveScreens } from './screens.ts'
import { openWorksDesk, type WorksDesk } from './works-desk.ts'
import { worksRoutes } from './works-routes.ts'

const BODY_LIMIT_BYTES = 64 * 1024

export interface App {
  http: FastifyInstance
  works: WorksDesk
}

/** Everything that answers, on a store that is open; closing `http` stops and stores a plan that is being made. */
export async function buildApp(db: Store): Promise<App> {
  const works = await openWorksDesk(db)
  const planning = await PlanningDesk.open(db)
  const http = Fastify({
    bodyLimit: BODY_LIMIT_BYTES,
    forceCloseConnections: true,
    logger: { level: 'error', stream: process.stderr, base: null },
  })
  http.setValidatorCompiler(validatorCompiler)
  http.setSerializerCompiler(serializerCompiler)
  guardLoopback(http)
  answerErrors(http)
  await http.register(fastifySwagger, {
    openapi: {
      openapi: '3.1.0',
      info: { title: 'Lastmetre', version: productVersion(), description: 'Loopback only; no sign-in.' },
    },
    transform: jsonSchemaTransform,
  })
  await http.register(fastifyMultipart)
  await http.register(worksRoutes(works, planning))
  await http.register(ordersRoutes(works))
  await http.register(lineRoutes(works))
  await http.register(counterRoutes(works))
  await http.register(planRoutes(db, works, planning))
  await http.register(replanRoutes(db, works, planning))
  await http.register(paperRoutes(db, works, planning))
  await http.register(benchRoutes(works))
  http.get('/api/docs.json', { schema: { summary: 'This description' } }, async () => http.swagger())
  await serveScreens(http)
  http.addHook('preClose', () => planning.close())
  return { http, works }
}
