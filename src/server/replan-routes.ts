import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { worksNow } from '../ledger/works-now.ts'
import type { Explanation } from '../plan/explain.ts'
import type { Plan } from '../plan/plan.ts'
import { verifyClaims } from '../plan/verify.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Tried } from '../solver/replan.ts'
import type { Store } from '../store/dialect.ts'
import type { TryAnswer, TryRequest } from '../works/api.ts'
import type { FloorDesk, FloorNow } from './floor-desk.ts'
import { inWorker } from './in-worker.ts'
import type { NewestPlan } from './newest-plan.ts'
import { keepPlan } from './plan-floors.ts'
import { planInputOf } from './plan-input-of.ts'
import type { PlanningDesk } from './planning-desk.ts'
import type { AskedOrder } from './replan-worker.ts'
import { errorShape, explainBody, takeBody, takenShape, tryBody } from './schemas.ts'
import { type AddedLine, triedChanges } from './tried-changes.ts'
import { WaitingPreviews } from './waiting-previews.ts'
import type { WorksDesk } from './works-desk.ts'

/** Each question is two to ten plans. */
const MOST_PLANS = 16
const GRACE_MS = 20_000
const HEAP_MB = 320
const SEED = 1

/** A pair of plans that waits for a choice. */
interface Waiting {
  version: number
  seq: number
  before: Plan
  after: Plan
  added: AddedLine | null
  seconds: number
}

/** Trying changes on the newest plan, taking the better of two, and explaining an order line. */
export function replanRoutes(
  db: Store,
  works: WorksDesk,
  planning: PlanningDesk,
  newest: NewestPlan,
  floor: FloorDesk,
): FastifyPluginAsyncZod {
  const waiting = new WaitingPreviews<Waiting>()
  // one at a time: each takes a core while it lasts
  let busy = false
  const alone = async <T>(work: (fresh: Fresh) => Promise<T>): Promise<T> => {
    if (busy) throw new LastmetreError('plan-running', 'Another change is being tried.')
    busy = true
    try {
      return await work(await freshPlan(planning, newest, floor))
    } finally {
      busy = false
    }
  }
  return async (app) => {
    app.post(
      '/api/plan/try',
      {
        config: { deed: 'plan' },
        schema: {
          summary:
            'Plans with changes: { token, before, after, changes, comparison, addedOrder }; stores nothing',
          body: tryBody,
        },
      },
      async ({ body }) => alone((fresh) => triedAnswer(fresh, body, waiting)),
    )
    app.post(
      '/api/plan/take',
      {
        config: { deed: 'plan' },
        schema: {
          summary:
            'Stores one of two plans that were tried as the newest, with the order line that was added',
          body: takeBody,
          response: { 200: takenShape, '4xx': errorShape },
        },
      },
      async ({ body }) => {
        const found = waiting.find(body.token)
        const now = await floor.now()
        if (!found || found.version !== now.current.row.version || found.seq !== now.seq)
          throw new LastmetreError('preview-stale', 'The works has changed since these plans were made.')
        if (planning.progress().state === 'running')
          throw new LastmetreError('plan-running', 'A plan is being made.')
        waiting.forget(body.token)
        return { planId: await kept(db, works, floor, found, body.take) }
      },
    )
    app.post(
      '/api/plan/explain',
      {
        config: { deed: 'look' },
        schema: {
          summary: 'Why an order line is served as it is or not, and what else would cost',
          body: explainBody,
        },
      },
      async ({ body }) =>
        alone((fresh) => asked<Explanation>({ kind: 'explain', ...body, ...orderFor(fresh) }, body.seconds)),
    )
  }
}

async function triedAnswer(
  fresh: Fresh,
  { changes: wanted, seconds }: TryRequest,
  waiting: WaitingPreviews<Waiting>,
): Promise<TryAnswer> {
  const { changes, added } = triedChanges(fresh.now.current, wanted)
  const tried = await asked<Tried>({ kind: 'try', changes, seconds, ...orderFor(fresh) }, seconds)
  const { before, after } = tried
  const { seq, current } = fresh.now
  const token = waiting.keep({ version: current.row.version, seq, before, after, added, seconds })
  return { token, ...tried, addedOrder: added?.line ?? null }
}

/** A plan of the works as it is now. */
interface Fresh {
  now: FloorNow
  plan: Plan
}

function orderFor({ now, plan }: Fresh) {
  const input = planInputOf(now.works)
  return { input, before: input, plan, seed: SEED }
}

async function freshPlan(planning: PlanningDesk, newest: NewestPlan, floor: FloorDesk): Promise<Fresh> {
  const now = await floor.now()
  if (planning.progress().state === 'running')
    throw new LastmetreError('plan-running', 'A plan is being made.')
  const found = await newest.found()
  if (!newest.isOf(now, found))
    throw new LastmetreError('plan-stale', 'The newest plan is for an earlier state of the works.')
  return { now, plan: found.plan }
}

function asked<T>(order: AskedOrder, seconds: number): Promise<T> {
  return inWorker<T>('replan-worker', order, {
    maxMs: MOST_PLANS * seconds * 1000 + GRACE_MS,
    maxHeapMb: HEAP_MB,
    exceeded: new LastmetreError('unexpected', 'Planning with this change took too much time or memory.'),
  })
}

/** Checked against the works as it is, then stored like any plan. */
async function kept(
  db: Store,
  works: WorksDesk,
  floor: FloorDesk,
  found: Waiting,
  take: 'before' | 'after',
): Promise<number> {
  const plan = found[take]
  const added = take === 'after' ? found.added : null
  const before = await floor.now()
  const input = added ? worksNow(added.works, before.state) : before.works
  const [broken] = verifyClaims(input, plan).broken
  if (broken)
    throw new LastmetreError(
      'plan-broken',
      `The plan breaks a rule (${broken.rule}, ${broken.where}): ${broken.why}.`,
    )
  if (added) await works.changeOrders(added.ordersCsv)
  return keepPlan(db, await floor.now(), { seconds: found.seconds, seed: SEED }, plan)
}
