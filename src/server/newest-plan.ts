import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { latestPlan, planById } from '../store/plans.ts'
import { openedInVersion } from '../store/works-versions.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { planOfJson, type StoredPlan } from './stored-plan.ts'
import type { WorksDesk } from './works-desk.ts'

/** The newest plan of the works that is open: the one being made, once there is a first, else a stored one. */
export async function newestPlan(db: Store, works: WorksDesk, planning: PlanningDesk): Promise<StoredPlan> {
  const opened = await openedInVersion(db, works.current().row.version)
  const best = planning.best()
  const running = best === null ? null : await planById(db, best.planId)
  if (best !== null && running !== null && running.works_version >= opened) {
    return { row: running, plan: best.plan }
  }
  const row = await latestPlan(db, opened)
  if (row?.plan_json == null) throw new LastmetreError('no-plan', 'There is no plan of this works yet.')
  return { row, plan: planOfJson(row.plan_json) }
}
