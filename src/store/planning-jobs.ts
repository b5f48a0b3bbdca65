import { sql } from 'kysely'
import { DATABASE_NOW_MS as NOW_MS } from './database-clock.ts'
import type { Store } from './dialect.ts'
import type { Tables } from './tables.ts'

export type PlanningJobRow = Tables['planning_job']

export async function addPlanningJob(
  db: Store,
  job: Pick<PlanningJobRow, 'plan_id' | 'input' | 'seconds' | 'seed'>,
): Promise<void> {
  const empty = { beat_ms: null, progress: null, best: null, ended: null }
  await db
    .insertInto('planning_job')
    .values({ ...job, ...empty, turn: 1, stop_asked: 0, step: 0, best_step: 0 })
    .execute()
}

/** What a server looks at: all but the input, the best plan only where it is newer than `afterStep`. */
export async function seePlanningJob(db: Store, planId: number, afterStep: number) {
  return db
    .selectFrom('planning_job')
    .select(['turn', 'step', 'progress', 'best_step', 'stop_asked', 'ended'])
    .select((eb) => [
      eb.case().when('best_step', '>', afterStep).then(eb.ref('best')).end().as('best'),
      sql<number | null>`${NOW_MS} - beat_ms`.as('silent_ms'),
    ])
    .where('plan_id', '=', planId)
    .executeTakeFirstOrThrow()
}

/** The newest job that has not ended, whichever server asked for it; null where there is none. */
export async function runningJob(db: Store): Promise<Pick<PlanningJobRow, 'plan_id' | 'seconds'> | null> {
  const row = await db
    .selectFrom('planning_job')
    .select(['plan_id', 'seconds'])
    .where('ended', 'is', null)
    .orderBy('plan_id', 'desc')
    .limit(1)
    .executeTakeFirst()
  return row ?? null
}

export async function askToStop(db: Store, planId: number): Promise<void> {
  await db.updateTable('planning_job').set({ stop_asked: 1 }).where('plan_id', '=', planId).execute()
}

/** Gives a job whose worker is silent to another one; what the old one still writes is not taken. */
export async function nextTurn(db: Store, planId: number, turn: number): Promise<boolean> {
  const { numUpdatedRows } = await db
    .updateTable('planning_job')
    .set({ turn: turn + 1, beat_ms: null })
    .where('plan_id', '=', planId)
    .where('turn', '=', turn)
    .where('ended', 'is', null)
    .executeTakeFirst()
  return numUpdatedRows === 1n
}

/** A worker takes a job at its turn; null where it is another's by now, or has ended. */
export async function takePlanningJob(
  db: Store,
  planId: number,
  turn: number,
): Promise<PlanningJobRow | null> {
  const row = await db
    .updateTable('planning_job')
    .set({ beat_ms: NOW_MS })
    .where('plan_id', '=', planId)
    .where('turn', '=', turn)
    .where('beat_ms', 'is', null)
    .where('ended', 'is', null)
    .returningAll()
    .executeTakeFirst()
  return row ?? null
}

export interface Beat {
  /** Where there is a new one, as JSON. */
  progress?: string
  best?: string
}

/** Says that the worker is alive and how far it is. Answers whether it is to stop; null where the job is not its own any more. */
export async function beat(
  db: Store,
  planId: number,
  turn: number,
  { progress, best }: Beat,
): Promise<{ stop: boolean } | null> {
  const row = await db
    .updateTable('planning_job')
    .set((eb) => ({
      beat_ms: NOW_MS,
      ...(progress === undefined ? {} : { progress, step: eb('step', '+', 1) }),
      ...(best === undefined ? {} : { best, best_step: eb('step', '+', 1) }),
    }))
    .where('plan_id', '=', planId)
    .where('turn', '=', turn)
    .where('ended', 'is', null)
    .returning('stop_asked')
    .executeTakeFirst()
  return row === undefined ? null : { stop: row.stop_asked === 1 }
}

/** The end of a job, once; answers false where it was not the worker's any more. The input is not needed again. */
export async function endPlanningJob(
  db: Store,
  planId: number,
  turn: number,
  ended: string,
): Promise<boolean> {
  const { numUpdatedRows } = await db
    .updateTable('planning_job')
    .set({ ended, input: '', best: null })
    .where('plan_id', '=', planId)
    .where('turn', '=', turn)
    .where('ended', 'is', null)
    .executeTakeFirst()
  return numUpdatedRows === 1n
}

/** Plans that say they are being made, but whose server and worker are both gone. */
export async function markForsaken(db: Store, silentMs: number): Promise<void> {
  await db
    .updateTable('plan')
    .set({ state: 'interrupted', message: 'Server and worker ended while this plan was being made.' })
    .where('state', '=', 'running')
    .where('id', 'not in', (eb) =>
      eb
        .selectFrom('planning_job')
        .select('plan_id')
        .where('ended', 'is', null)
        .where(sql<boolean>`coalesce(${NOW_MS} - beat_ms, 0) < ${silentMs}`),
    )
    .execute()
}
