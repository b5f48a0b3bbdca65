import type { PlanOrigin } from '../ledger/event.ts'
import type { PlacedPlan } from '../ledger/plan-now.ts'
import type { HeadRow } from '../ledger/state-rows.ts'
import type { Plan } from '../plan/plan.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { eventsAfter } from '../store/ledger-state.ts'
import { planFloor } from '../store/plan-floors.ts'
import { planById } from '../store/plans.ts'
import { planOfJson } from './stored-plan.ts'
import type { WorksDesk } from './works-desk.ts'

/** The plan that the hall works by. */
export interface ReleasedPlan {
  planId: number
  plan: Plan
  placed: PlacedPlan
  /** ISO 8601, UTC. */
  releasedAt: string
  cause: 'planned' | 'repaired'
}

/** Reads the plan in force, once for each release. */
export class ReleasedPlans {
  readonly #db: Store
  readonly #works: WorksDesk
  #last: { seq: number; released: ReleasedPlan | null } | null = null

  constructor(db: Store, works: WorksDesk) {
    this.#db = db
    this.#works = works
  }

  /** Null before one was released. */
  async current({ releasedSeq }: HeadRow): Promise<ReleasedPlan | null> {
    if (releasedSeq === null) return null
    if (this.#last?.seq !== releasedSeq)
      this.#last = { seq: releasedSeq, released: await this.#read(releasedSeq) }
    return this.#last.released
  }

  async #read(seq: number): Promise<ReleasedPlan | null> {
    const [event] = await eventsAfter(this.#db, seq - 1, 1)
    if (event?.body.kind !== 'plan-released') return null
    const { planId, cause, origins } = event.body
    const row = await planById(this.#db, planId)
    if (row?.plan_json == null) return null
    const plan = planOfJson(row.plan_json)
    const floor = await planFloor(this.#db, planId)
    const orders = floor?.orders ?? (await this.#works.version(row.works_version)).works.orders
    const { mountings } = plan
    return { planId, plan, placed: { mountings, origins, orders }, releasedAt: event.at, cause }
  }
}

/**
 * Where the outer ends lay when a plan was made. Before there was a ledger, at the beginning of each strip, since that is how
 * the ledger takes over the works' drums.
 */
export async function originsOfPlan(db: Store, planId: number): Promise<PlanOrigin[]> {
  const row = await planById(db, planId)
  if (row?.plan_json == null) throw new LastmetreError('no-plan', `There is no plan ${planId}.`)
  const floor = await planFloor(db, planId)
  const { mountings } = planOfJson(row.plan_json)
  const drums = new Set(mountings.map((m) => m.drum))
  if (floor) return floor.origins.filter((o) => drums.has(o.drum))
  return [...drums].map((drum) => ({ drum, strip: drum, outerUm: 0, outer: 'from', ratio: 1 }))
}
