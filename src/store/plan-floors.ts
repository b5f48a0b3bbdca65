import { gunzipSync, gzipSync } from 'node:zlib'
import type { PlanFloor } from '../ledger/plan-floor.ts'
import type { Store } from './dialect.ts'

/** Keeps what of the hall a plan was made for; compressed, since every repair keeps one. */
export async function addPlanFloor(trx: Store, planId: number, floor: PlanFloor): Promise<void> {
  const { seq, ...content } = floor
  await trx
    .insertInto('plan_floor')
    .values({ plan_id: planId, ledger_seq: seq, content: gzipSync(JSON.stringify(content)) })
    .execute()
}

/** Null where the plan was made before there was a ledger: then its version of the works says all. */
export async function planFloor(db: Store, planId: number): Promise<PlanFloor | null> {
  const row = await db.selectFrom('plan_floor').selectAll().where('plan_id', '=', planId).executeTakeFirst()
  if (!row) return null
  const content = JSON.parse(gunzipSync(row.content).toString('utf8')) as Omit<PlanFloor, 'seq'>
  return { seq: row.ledger_seq, ...content }
}
