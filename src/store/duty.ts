import { sql } from 'kysely'
import type { Store } from './dialect.ts'
import { CHANNEL } from './sharing-migration.ts'

/** Up to which event repair and labels have been seen to; null before any server was on duty. */
export async function doneSeq(db: Store): Promise<number | null> {
  const row = await db.selectFrom('duty').select('done_seq').where('id', '=', 1).executeTakeFirst()
  return row?.done_seq ?? null
}

export async function keepDoneSeq(db: Store, seq: number): Promise<void> {
  await db
    .insertInto('duty')
    .values({ id: 1, done_seq: seq })
    .onConflict((conflict) => conflict.column('id').doUpdateSet({ done_seq: seq }))
    .execute()
}

/** Puts the newest of a topic in place of the one before and rings for it. On PostgreSQL only. `content` is JSON. */
export async function putNews(db: Store, topic: string, content: string): Promise<void> {
  await db.transaction().execute(async (trx) => {
    // what is lost of it with the power is told anew; nobody waits for the disk
    await sql`set local synchronous_commit = off`.execute(trx)
    await trx
      .insertInto('shared_news')
      .values({ topic, content })
      .onConflict((conflict) => conflict.column('topic').doUpdateSet({ content }))
      .execute()
    await sql`select pg_notify(${CHANNEL}, ${topic})`.execute(trx)
  })
}

/** The newest of a topic as JSON; null where there was none. */
export async function newsOf(db: Store, topic: string): Promise<string | null> {
  const row = await db
    .selectFrom('shared_news')
    .select('content')
    .where('topic', '=', topic)
    .executeTakeFirst()
  return row?.content ?? null
}
