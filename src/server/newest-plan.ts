import type { Plan } from '../plan/plan.ts'
import { verifyClaims } from '../plan/verify.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { latestPlan, planById } from '../store/plans.ts'
import { openedInVersion } from '../store/works-versions.ts'
import type { FloorNow } from './floor-desk.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { planOfJson, type StoredPlan } from './stored-plan.ts'
import type { WorksDesk } from './works-desk.ts'

/** The newest plan of the works that is open. It is parsed and judged once for as long as it and the hall stay as they are. */
export class NewestPlan {
  readonly #db: Store
  readonly #works: WorksDesk
  readonly #planning: PlanningDesk
  #parsed: { json: string; plan: Plan } | null = null
  #judged: { works: FloorNow['works']; plan: Plan; holds: boolean } | null = null

  constructor(db: Store, works: WorksDesk, planning: PlanningDesk) {
    this.#db = db
    this.#works = works
    this.#planning = planning
  }

  /** The one being made, once there is a first, else a stored one; throws 'no-plan'. The answer is not to be changed. */
  async found(): Promise<StoredPlan> {
    const opened = await openedInVersion(this.#db, this.#works.current().row.version)
    const best = this.#planning.best()
    const running = best === null ? null : await planById(this.#db, best.planId)
    if (best !== null && running !== null && running.works_version >= opened) {
      return { row: running, plan: best.plan }
    }
    const row = await latestPlan(this.#db, opened)
    if (row?.plan_json == null) throw new LastmetreError('no-plan', 'There is no plan of this works yet.')
    return { row, plan: this.#planOf(row.plan_json) }
  }

  /** Whether it is one of the hall as it is now: it keeps every rule and says of itself what is so. */
  isOf({ works, current }: FloorNow, { row, plan }: StoredPlan): boolean {
    if (row.works_version !== current.row.version) return false
    if (this.#judged?.works !== works || this.#judged.plan !== plan)
      this.#judged = { works, plan, holds: verifyClaims(works, plan).broken.length === 0 }
    return this.#judged.holds
  }

  /** A plan that is being made by another server grows under its number, so the text itself is what tells. */
  #planOf(json: string): Plan {
    if (this.#parsed?.json !== json) this.#parsed = { json, plan: planOfJson(json) }
    return this.#parsed.plan
  }
}
