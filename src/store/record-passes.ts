import type { Store } from './dialect.ts'
import type { Tables } from './tables.ts'

/** Who was signed in when, kept beyond the session: what is made then may be sent later. Times are ISO 8601, UTC. */

type RecordPass = Tables['record_pass']

export async function addPass(trx: Store, row: Omit<RecordPass, 'ended_at'>): Promise<void> {
  await trx
    .insertInto('record_pass')
    .values({ ...row, ended_at: null })
    .execute()
}

export function findPass(db: Store, passHash: string): Promise<RecordPass | undefined> {
  return db.selectFrom('record_pass').selectAll().where('pass_hash', '=', passHash).executeTakeFirst()
}

/** The sessions of these hashes ended before their time. */
export async function endPasses(db: Store, sessionHashes: string[], endedAt: string): Promise<void> {
  if (sessionHashes.length === 0) return
  await db
    .updateTable('record_pass')
    .set({ ended_at: endedAt })
    .where('session_hash', 'in', sessionHashes)
    .where('ended_at', 'is', null)
    .execute()
}

export async function endPassesOfAccount(db: Store, account: string, endedAt: string): Promise<void> {
  await db
    .updateTable('record_pass')
    .set({ ended_at: endedAt })
    .where('account', '=', account)
    .where('ended_at', 'is', null)
    .execute()
}

export async function forgetPassesBegunBefore(db: Store, beganAt: string): Promise<void> {
  await db.deleteFrom('record_pass').where('began_at', '<', beganAt).execute()
}
