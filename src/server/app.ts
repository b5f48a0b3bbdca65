import fastifyMultipart from '@fastify/multipart'
import fastifySwagger from '@fastify/swagger'
import Fastify, { type FastifyInstance } from 'fastify'
import { jsonSchemaTransform, serializerCompiler, validatorCompiler } from 'fastify-type-provider-zod'
import type { Store } from '../store/dialect.ts'
import { checkAccess } from './access.ts'
import { auditAt } from './access-audit.ts'
import { type AccessDesks, openAccess } from './access-desks.ts'
import { accessRoutes } from './access-routes.ts'
import { PinKeeper } from './accounts-pin.ts'
import { benchRoutes } from './bench-routes.ts'
import { counterRoutes } from './counter-routes.ts'
import { Duty } from './duty.ts'
import { answerErrors } from './error-answer.ts'
import { FloorBoard } from './floor-board.ts'
import { FloorDesk } from './floor-desk.ts'
import { floorRoutes } from './floor-routes.ts'
import { guardReach } from './guard.ts'
import { LabelDesk } from './label-desk.ts'
import { labelDoubtRoutes } from './label-doubt-routes.ts'
import { labelRoutes } from './label-routes.ts'
import { LedgerDesk } from './ledger-desk.ts'
import { ledgerRoutes } from './ledger-routes.ts'
import { lineRoutes } from './line-routes.ts'
import { NewestPlan } from './newest-plan.ts'
import { ordersRoutes } from './orders-routes.ts'
import { paperRoutes } from './paper-routes.ts'
import { planRoutes } from './plan-routes.ts'
import { PlanningDesk } from './planning-desk.ts'
import { type PlanFollower, type Planner, planHere } from './planning-queue.ts'
import { productVersion } from './project.ts'
import { recordsRoutes } from './records-routes.ts'
import { RepairDesk } from './repair-desk.ts'
import { replanRoutes } from './replan-routes.ts'
import { serveScreens } from './screens.ts'
import { ALONE, lookOnNews, type Sharing } from './sharing.ts'
import { SignalDesk } from './signal-desk.ts'
import { signalRoutes } from './signal-routes.ts'
import { stockRoutes } from './stock-routes.ts'
import { openWorksDesk, type WorksDesk } from './works-desk.ts'
import { worksRoutes } from './works-routes.ts'

const BODY_LIMIT_BYTES = 64 * 1024
const DESCRIPTION =
  'Once there are accounts, POST /api/sign-in first: it sets the cookie that all else needs. What each role may do: docs/access.md.'

export interface App {
  http: FastifyInstance
  works: WorksDesk
  ledger: LedgerDesk
  repairs: RepairDesk
  access: AccessDesks
}

/** Key and certificate as PEM. */
export interface TlsFiles {
  key: string
  cert: string
}

interface Served {
  /** Names under which it is called besides those of loopback. */
  names?: readonly string[]
  /** Null: plain http. */
  tls?: TlsFiles | null
  pins?: PinKeeper
  planner?: Planner
  /** Null: no other server plans. */
  follower?: PlanFollower | null
  sharing?: Sharing
}

/** Everything that answers, on a store that is open; closing `http` stops and stores a plan that is being made. */
export async function buildApp(db: Store, served: Served = {}): Promise<App> {
  const { names = [], tls = null, pins = new PinKeeper(), sharing = ALONE } = served
  const { planner = planHere, follower = null } = served
  const works = await openWorksDesk(db)
  // what another server changes of the works is the works here too
  lookOnNews(sharing, 'works', () => works.refresh())
  const ledger = new LedgerDesk(db, works)
  await ledger.follow(sharing)
  const signals = await SignalDesk.open(db, works, ledger, { sharing })
  const planning = await PlanningDesk.open(db, { planner, follower, sharing })
  const http = Fastify({
    ...encrypted(tls),
    bodyLimit: BODY_LIMIT_BYTES,
    forceCloseConnections: true,
    logger: { level: 'error', stream: process.stderr, base: null },
  })
  http.setValidatorCompiler(validatorCompiler)
  http.setSerializerCompiler(serializerCompiler)
  guardReach(http, { names, secure: tls !== null })
  answerErrors(http)
  const access = openAccess(db, auditAt('server'), { pins })
  await checkAccess(http, access.accounts, access.sessions)
  await http.register(fastifySwagger, {
    openapi: {
      openapi: '3.1.0',
      info: { title: 'Lastmetre', version: productVersion(), description: DESCRIPTION },
    },
    transform: jsonSchemaTransform,
  })
  await http.register(fastifyMultipart)
  await http.register(accessRoutes(access, works))
  const floor = new FloorDesk(db, works)
  await http.register(worksRoutes(db, works, planning, floor))
  await http.register(ordersRoutes(works))
  await http.register(recordsRoutes(db, works))
  await http.register(lineRoutes(works))
  await http.register(counterRoutes(works))
  await http.register(ledgerRoutes(db, ledger, access.sessions))
  await http.register(signalRoutes(signals))
  const board = new FloorBoard(db, works, floor)
  const repairs = new RepairDesk(db, board, ledger, sharing)
  const labels = new LabelDesk(db, works, { floor, ledger, sharing })
  const duty = new Duty(db, ledger, sharing, [repairs, labels])
  await http.register(labelRoutes(labels))
  await http.register(labelDoubtRoutes(labels))
  await http.register(floorRoutes({ board, ledger, repairs, labels, signals }))
  const newest = new NewestPlan(db, works, planning)
  await http.register(planRoutes(planning, newest, floor))
  await http.register(replanRoutes(db, works, planning, newest, floor))
  await http.register(paperRoutes(db, works, newest))
  await http.register(benchRoutes(works))
  await http.register(stockRoutes(db, works, planning, newest, floor))
  http.get(
    '/api/docs.json',
    { config: { deed: 'look' }, schema: { summary: 'This description' } },
    async () => http.swagger(),
  )
  await serveScreens(http)
  http.addHook('preClose', () => planning.close())
  http.addHook('preClose', () => signals.close())
  http.addHook('preClose', () => repairs.close())
  http.addHook('preClose', () => labels.close())
  http.addHook('onReady', () => labels.begin())
  http.addHook('onReady', async () => duty.begin())
  http.addHook('preClose', () => duty.close())
  http.addHook('onClose', () => ledger.close())
  http.addHook('onClose', () => access.sessions.close())
  return { http, works, ledger, repairs, access }
}

/** The same server over TLS; fastify types it apart, though all that is used here is alike. */
function encrypted(tls: TlsFiles | null): Record<never, never> {
  return tls === null ? {} : { https: { ...tls, minVersion: 'TLSv1.2' } }
}
