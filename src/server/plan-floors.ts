import { planFloorOf } from '../ledger/plan-floor.ts'
import type { LineWorks } from '../line/line-works.ts'
import type { Plan } from '../plan/plan.ts'
import type { Store } from '../store/dialect.ts'
import { addPlanFloor, planFloor } from '../store/plan-floors.ts'
import { addPlan, endPlan } from '../store/plans.ts'
import type { PlanRow } from '../store/tables.ts'
import type { Works } from '../works/works.ts'
import type { FloorNow } from './floor-desk.ts'
import { recordedWorks } from './kept-more.ts'
import { planInputOf } from './plan-input-of.ts'
import type { WorksDesk } from './works-desk.ts'

type Effort = Pick<PlanRow, 'seconds' | 'seed'>

/** A plan that begins to be made for the hall as it is now; answers its number. */
export async function beginPlan(trx: Store, now: FloorNow, effort: Effort): Promise<number> {
  const row = { works_version: now.current.row.version, made_at: new Date().toISOString(), ...effort }
  const id = await addPlan(trx, row)
  if (now.hasStock) await addPlanFloor(trx, id, planFloorOf(planInputOf(now.works), now.state))
  return id
}

/** Stores a plan that was made for the hall as it was; answers its number. */
export async function keepPlan(db: Store, now: FloorNow, effort: Effort, plan: Plan): Promise<number> {
  return db.transaction().execute((trx) => keepPlanWithin(trx, now, effort, plan))
}

/** As keepPlan, within a transaction of the caller. */
export async function keepPlanWithin(trx: Store, now: FloorNow, effort: Effort, plan: Plan): Promise<number> {
  const id = await beginPlan(trx, now, effort)
  await endPlan(trx, id, { state: 'done', planJson: JSON.stringify(plan), message: null })
  return id
}

/** The works as it was when a plan was made, with all that is recorded of it. */
export async function worksOfPlan(
  db: Store,
  works: WorksDesk,
  row: Pick<PlanRow, 'id' | 'works_version'>,
): Promise<{ works: Works & LineWorks; seq: number }> {
  const recorded = recordedWorks(await works.version(row.works_version))
  const floor = await planFloor(db, row.id)
  if (floor === null) return { works: recorded, seq: 0 }
  const { drums, marks, faults, orders, seq } = floor
  return { works: { ...recorded, drums, marks, faults, orders }, seq }
}
