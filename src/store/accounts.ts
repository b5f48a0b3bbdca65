import type { Store } from './dialect.ts'
import { endPasses, endPassesOfAccount } from './record-passes.ts'
import type { AccountRow, SignInLockRow, Tables } from './tables.ts'

/** Accounts, sessions and lock-outs as rows. Times are ISO 8601, UTC; the caller's clock. */

/** So many subjects are remembered; beyond that the longest ago wrong PIN is forgotten first. */
const MAX_LOCKS = 10_000

export async function anyAccount(db: Store): Promise<boolean> {
  return (await db.selectFrom('account').select('account').limit(1).executeTakeFirst()) !== undefined
}

export async function openOwners(db: Store): Promise<string[]> {
  const rows = await db
    .selectFrom('account')
    .select('account')
    .where('role', '=', 'owner')
    .where('closed', '=', 0)
    .execute()
  return rows.map((row) => row.account)
}

export function findAccount(db: Store, account: string): Promise<AccountRow | undefined> {
  return db.selectFrom('account').selectAll().where('account', '=', account).executeTakeFirst()
}

export function allAccounts(db: Store): Promise<AccountRow[]> {
  return db.selectFrom('account').selectAll().orderBy('account').execute()
}

export async function insertAccount(db: Store, row: AccountRow): Promise<void> {
  await db.insertInto('account').values(row).execute()
}

/** Changes an account and ends its sessions at `nowIso`: whoever holds one signs in anew with what holds now. */
export async function changeAccount(
  db: Store,
  account: string,
  change: Partial<Pick<AccountRow, 'name' | 'role' | 'pin_hash' | 'closed'>>,
  nowIso: string,
): Promise<void> {
  await db.updateTable('account').set(change).where('account', '=', account).execute()
  await db.deleteFrom('session').where('account', '=', account).execute()
  await endPassesOfAccount(db, account, nowIso)
}

export interface SessionOfAccount {
  account: string
  name: string
  role: string
  began_at: string
  used_at: string
}

/** The session and whose it is; undefined where it is none, or where its account is closed. */
export function findSession(db: Store, idHash: string): Promise<SessionOfAccount | undefined> {
  return db
    .selectFrom('session')
    .innerJoin('account', 'account.account', 'session.account')
    .select(['session.account', 'account.name', 'account.role', 'session.began_at', 'session.used_at'])
    .where('session.id_hash', '=', idHash)
    .where('account.closed', '=', 0)
    .executeTakeFirst()
}

/** Begins a session; of one account at most `most` are kept, the longest unused goes first. In a transaction. */
export async function beginSession(trx: Store, row: Tables['session'], most: number): Promise<void> {
  const others = await trx
    .selectFrom('session')
    .select('id_hash')
    .where('account', '=', row.account)
    .orderBy('used_at', 'desc')
    .execute()
  const surplus = others.slice(most - 1).map((other) => other.id_hash)
  if (surplus.length > 0) await trx.deleteFrom('session').where('id_hash', 'in', surplus).execute()
  await endPasses(trx, surplus, row.began_at)
  await trx.insertInto('session').values(row).execute()
}

export async function touchSession(db: Store, idHash: string, usedAt: string): Promise<void> {
  await db.updateTable('session').set({ used_at: usedAt }).where('id_hash', '=', idHash).execute()
}

export async function endSession(db: Store, idHash: string, nowIso: string): Promise<void> {
  await db.deleteFrom('session').where('id_hash', '=', idHash).execute()
  await endPasses(db, [idHash], nowIso)
}

export async function endSessionsBegunBefore(db: Store, beganAt: string): Promise<void> {
  await db.deleteFrom('session').where('began_at', '<', beganAt).execute()
}

export function findLock(db: Store, subject: string): Promise<SignInLockRow | undefined> {
  return db.selectFrom('sign_in_lock').selectAll().where('subject', '=', subject).executeTakeFirst()
}

export function allLocks(db: Store): Promise<SignInLockRow[]> {
  return db.selectFrom('sign_in_lock').selectAll().execute()
}

/** Writes lock-outs, and forgets those whose last wrong PIN was before `forgetBefore`. In a transaction. */
export async function putLocks(trx: Store, rows: SignInLockRow[], forgetBefore: string): Promise<void> {
  await trx.deleteFrom('sign_in_lock').where('failed_at', '<', forgetBefore).execute()
  for (const row of rows) {
    const { failures, failed_at, locked_until } = row
    await trx
      .insertInto('sign_in_lock')
      .values(row)
      .onConflict((conflict) => conflict.column('subject').doUpdateSet({ failures, failed_at, locked_until }))
      .execute()
  }
  const beyond = await trx
    .selectFrom('sign_in_lock')
    .select('failed_at')
    .orderBy('failed_at', 'desc')
    .offset(MAX_LOCKS)
    .limit(1)
    .executeTakeFirst()
  if (beyond) await trx.deleteFrom('sign_in_lock').where('failed_at', '<=', beyond.failed_at).execute()
}

export async function clearLocks(db: Store, subjects: string[]): Promise<void> {
  await db.deleteFrom('sign_in_lock').where('subject', 'in', subjects).execute()
}
