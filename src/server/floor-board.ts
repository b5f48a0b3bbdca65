import { type OpenMounting, planNow } from '../ledger/plan-now.ts'
import type { Store } from '../store/dialect.ts'
import { latestPlanState } from '../store/plans.ts'
import { openedInVersion } from '../store/works-versions.ts'
import type { FloorDesk, FloorNow } from './floor-desk.ts'
import { type ReleasedPlan, ReleasedPlans } from './released-plan.ts'
import type { WorksDesk } from './works-desk.ts'

/** The hall as it is now against the plan in force. */
export interface Board {
  now: FloorNow
  /** Null before one was released. */
  released: ReleasedPlan | null
  /** What is left of it. */
  open: OpenMounting[]
}

/** What is left of the plan in force, worked out once for each event. */
export class FloorBoard {
  readonly #db: Store
  readonly #desk: FloorDesk
  readonly #plans: ReleasedPlans
  #last: Board | null = null

  constructor(db: Store, works: WorksDesk, desk: FloorDesk) {
    this.#db = db
    this.#desk = desk
    this.#plans = new ReleasedPlans(db, works)
  }

  /** Throws 'no-works' where none is open. */
  async board(): Promise<Board> {
    const now = await this.#desk.now()
    if (this.#last?.now === now) return this.#last
    const released = await this.#plans.current(now.state.head)
    const open = released ? planNow(released.placed, now.state, now.works) : []
    this.#last = { now, released, open }
    return this.#last
  }

  /** A finished plan of this works that is newer than the one in force; null where there is none. */
  async newerPlanId({ now, released }: Board): Promise<number | null> {
    const row = await latestPlanState(this.#db, await openedInVersion(this.#db, now.current.row.version))
    if (!row || row.state === 'running' || row.state === 'failed') return null
    return row.id > (released?.planId ?? 0) ? row.id : null
  }
}
