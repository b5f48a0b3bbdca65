import { LastmetreError } from '../quantity/errors.ts'
import { clearLocks, findAccount, findLock, putLocks } from '../store/accounts.ts'
import type { Store } from '../store/dialect.ts'
import type { SignInLockRow } from '../store/tables.ts'
import type { SignInRequest } from '../works/access-api.ts'
import { isId } from '../works/column.ts'
import { networkOf } from './access-address.ts'
import { type Audit, lockOfAccount } from './accounts-desk.ts'
import type { PinKeeper } from './accounts-pin.ts'
import type { SessionsDesk } from './sessions-desk.ts'

const MINUTE_MS = 60_000
/** So many wrong PINs are a slip of the hand. */
const FREE_FAILURES = 4
const FIRST_LOCK_MS = MINUTE_MS
const LONGEST_LOCK_MS = 60 * MINUTE_MS
/** A wrong PIN is forgotten after this time without another. */
const FORGET_MS = 12 * 60 * MINUTE_MS
/** Of one badge or address. */
const MAX_WAITING = 40
const MAX_SUBJECTS = 1_000

/**
 * Signing in with badge and PIN. Whether a badge has an account cannot be told from an answer or from its time; wrong PINs
 * are counted for the badge and for the address alike, from the fifth on each makes the wait twice as long.
 */
export class SignInDesk {
  readonly #db: Store
  readonly #sessions: SessionsDesk
  readonly #audit: Audit
  readonly #pins: PinKeeper
  readonly #now: () => number
  /** Who is being looked at, by badge and by address: one at a time, or many at once would get past the count. */
  readonly #turns = new Map<string, { last: Promise<void>; waiting: number }>()

  constructor(
    db: Store,
    {
      sessions,
      audit,
      pins,
      now,
    }: { sessions: SessionsDesk; audit: Audit; pins: PinKeeper; now: () => number },
  ) {
    this.#db = db
    this.#sessions = sessions
    this.#audit = audit
    this.#pins = pins
    this.#now = now
  }

  /** Answers what the session cookie is to hold. Throws 'sign-in-refused' and 'locked-out'. */
  async signIn({ badge, pin }: SignInRequest, address: string): Promise<string> {
    // What is no badge code is tried like one, under one name, so that nothing odd gets into the ledger.
    const account = isId(badge) ? badge : 'unreadable'
    const subjects = [lockOfAccount(account), `address:${networkOf(address)}`]
    // Always the badge before the address, so that no two wait for each other.
    const [badgeSubject = '', addressSubject = ''] = subjects
    return this.#inTurn(badgeSubject, () =>
      this.#inTurn(addressSubject, () => this.#try(account, pin, subjects)),
    )
  }

  async #inTurn<T>(subject: string, work: () => Promise<T>): Promise<T> {
    const turn = this.#turns.get(subject) ?? { last: Promise.resolve(), waiting: 0 }
    if (turn.waiting >= MAX_WAITING || this.#turns.size >= MAX_SUBJECTS) {
      throw new LastmetreError('too-many', 'Too many people sign in at the same moment.')
    }
    this.#turns.set(subject, turn)
    turn.waiting++
    const done = turn.last.then(work)
    turn.last = done.then(
      () => undefined,
      () => undefined,
    )
    try {
      return await done
    } finally {
      if (--turn.waiting === 0) this.#turns.delete(subject)
    }
  }

  async #try(account: string, pin: string, subjects: string[]): Promise<string> {
    const locks = await Promise.all(subjects.map((subject) => findLock(this.#db, subject)))
    const until =
      locks
        .map((lock) => lock?.locked_until ?? '')
        .sort()
        .at(-1) ?? ''
    if (until > this.#iso()) {
      throw new LastmetreError(
        'locked-out',
        `Too many wrong PINs. Signing in opens again ${inWords(until, this.#now())}.`,
      )
    }
    const row = await findAccount(this.#db, account)
    const open = row === undefined || row.closed === 1 ? null : row
    const right = await this.#pins.isPin(pin, open?.pin_hash ?? null)
    if (!right || open === null) {
      await this.#db.transaction().execute(async (trx) => {
        const locked = await this.#countWrong(trx, locks, subjects)
        // Tries that are refused unseen are not booked: nobody may fill the ledger from outside.
        await this.#audit(trx, { kind: 'refuse-sign-in', account, why: locked ? 'locked' : 'wrong' }, account)
      })
      throw new LastmetreError('sign-in-refused', 'Badge or PIN is wrong.')
    }
    return this.#db.transaction().execute(async (trx) => {
      await clearLocks(trx, subjects)
      const id = await this.#sessions.begin(trx, open)
      await this.#audit(trx, { kind: 'sign-in', account }, account)
      return id
    })
  }

  /** Answers whether that closed signing in for a while. */
  async #countWrong(trx: Store, locks: (SignInLockRow | undefined)[], subjects: string[]): Promise<boolean> {
    const now = this.#now()
    const forgetBefore = new Date(now - FORGET_MS).toISOString()
    const rows = subjects.map((subject, i) => {
      const before = locks[i]
      const failures = 1 + (before !== undefined && before.failed_at >= forgetBefore ? before.failures : 0)
      const waitMs = waitAfter(failures)
      return {
        subject,
        failures,
        failed_at: this.#iso(),
        locked_until: waitMs === 0 ? null : new Date(now + waitMs).toISOString(),
      }
    })
    await putLocks(trx, rows, forgetBefore)
    return rows.some((row) => row.locked_until !== null)
  }

  #iso(): string {
    return new Date(this.#now()).toISOString()
  }
}

function waitAfter(failures: number): number {
  if (failures <= FREE_FAILURES) return 0
  return Math.min(LONGEST_LOCK_MS, FIRST_LOCK_MS * 2 ** Math.min(failures - FREE_FAILURES - 1, 20))
}

function inWords(until: string, nowMs: number): string {
  const minutes = Math.ceil((Date.parse(until) - nowMs) / MINUTE_MS)
  return `in ${minutes} ${minutes === 1 ? 'minute' : 'minutes'}`
}
