import type { Store } from './dialect.ts'
import { lockHead } from './ledger-append.ts'
import type { PlanRow, PlanState } from './tables.ts'

/** A plan that begins to be made; answers its number. */
export async function addPlan(
  trx: Store,
  plan: Pick<PlanRow, 'works_version' | 'made_at' | 'seconds' | 'seed'>,
): Promise<number> {
  // Two servers on one PostgreSQL do not give the same number.
  await lockHead(trx)
  const last = await trx
    .selectFrom('plan')
    .select((eb) => eb.fn.max('id').as('id'))
    .executeTakeFirst()
  const id = Number(last?.id ?? 0) + 1
  await trx
    .insertInto('plan')
    .values({ ...plan, id, state: 'running', plan_json: null, message: null })
    .execute()
  return id
}

/** Keeps the best plan so far, so that it outlives the process. */
export async function keepBestPlan(trx: Store, id: number, planJson: string): Promise<void> {
  await trx.updateTable('plan').set({ plan_json: planJson }).where('id', '=', id).execute()
}

/** Ends a plan; without a new `planJson` the best one so far stays. */
export async function endPlan(
  trx: Store,
  id: number,
  end: { state: Exclude<PlanState, 'running'>; planJson: string | null; message: string | null },
): Promise<void> {
  await trx
    .updateTable('plan')
    .set({
      state: end.state,
      message: end.message,
      ...(end.planJson === null ? {} : { plan_json: end.planJson }),
    })
    .where('id', '=', id)
    .execute()
}

/** After a start: nothing runs yet, so what says it does was cut off with its process. */
export async function markInterrupted(trx: Store): Promise<void> {
  await trx
    .updateTable('plan')
    .set({ state: 'interrupted', message: 'The server ended while this plan was being made.' })
    .where('state', '=', 'running')
    .execute()
}

/** The newest plan that holds a plan, made for one of the works versions from `fromVersion` on. */
export async function latestPlan(trx: Store, fromVersion: number): Promise<PlanRow | null> {
  return (await latestFrom(trx, fromVersion).selectAll().executeTakeFirst()) ?? null
}

/** As latestPlan, without the plan itself. */
export async function latestPlanState(
  trx: Store,
  fromVersion: number,
): Promise<Pick<PlanRow, 'id' | 'state'> | null> {
  return (await latestFrom(trx, fromVersion).select(['id', 'state']).executeTakeFirst()) ?? null
}

function latestFrom(trx: Store, fromVersion: number) {
  return trx
    .selectFrom('plan')
    .where('works_version', '>=', fromVersion)
    .where('plan_json', 'is not', null)
    .orderBy('id', 'desc')
    .limit(1)
}

/** The newest plan of any kind; null before the first. */
export async function lastPlanRow(trx: Store): Promise<PlanRow | null> {
  const row = await trx.selectFrom('plan').selectAll().orderBy('id', 'desc').limit(1).executeTakeFirst()
  return row ?? null
}

export async function planById(trx: Store, id: number): Promise<PlanRow | null> {
  const row = await trx.selectFrom('plan').selectAll().where('id', '=', id).executeTakeFirst()
  return row ?? null
}
