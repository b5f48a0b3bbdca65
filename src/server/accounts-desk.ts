import type { CommandBody } from '../ledger/command.ts'
import type { EventOf } from '../ledger/event.ts'
import type { Role } from '../ledger/roles.ts'
import { LastmetreError } from '../quantity/errors.ts'
import {
  allAccounts,
  allLocks,
  anyAccount,
  changeAccount,
  clearLocks,
  findAccount,
  insertAccount,
  openOwners,
} from '../store/accounts.ts'
import type { Store } from '../store/dialect.ts'
import type { AccountRow } from '../store/tables.ts'
import { type AccountChange, type AccountView, LOCAL_ACCOUNT, type NewAccount } from '../works/access-api.ts'
import { ID_RIGHT, isId } from '../works/column.ts'
import { checkPin, PinKeeper } from './accounts-pin.ts'

/** Writes into the ledger, in the same transaction, who did what with accounts; `actor`: account of the person. */
export type Audit = (trx: Store, body: CommandBody, actor: string) => Promise<void>

const MAX_ACCOUNTS = 500
const MAX_NAME = 120

/** The accounts of the works: made, changed and closed, never deleted, since the ledger names them. */
export class AccountsDesk {
  readonly #db: Store
  readonly #audit: Audit
  readonly #pins: PinKeeper
  readonly #now: () => number
  #any = false

  constructor(db: Store, audit: Audit, pins = new PinKeeper(), now: () => number = Date.now) {
    this.#db = db
    this.#pins = pins
    this.#audit = audit
    this.#now = now
  }

  /** Whether anybody has an account; from then on everybody signs in. */
  async any(): Promise<boolean> {
    // Accounts are never deleted, so a yes stays a yes.
    if (!this.#any) this.#any = await anyAccount(this.#db)
    return this.#any
  }

  async list(): Promise<AccountView[]> {
    const now = new Date(this.#now()).toISOString()
    const locks = new Map((await allLocks(this.#db)).map((lock) => [lock.subject, lock.locked_until]))
    return (await allAccounts(this.#db)).map((row) => {
      const until = locks.get(lockOfAccount(row.account)) ?? null
      return {
        account: row.account,
        name: row.name,
        role: row.role as Role,
        closed: row.closed === 1,
        madeAt: row.made_at,
        lockedUntil: until !== null && until > now ? until : null,
      }
    })
  }

  /** Makes an account. Throws 'figure-refused' with what is wrong with it. */
  async add(wanted: NewAccount, actor: string): Promise<void> {
    const { account, role, pin } = wanted
    const name = checkedName(wanted.name)
    checkBadge(account)
    checkPin(pin, account)
    const hash = await this.#pins.hash(pin)
    await this.#db.transaction().execute(async (trx) => {
      const known = await allAccounts(trx)
      if (known.length === 0 && role !== 'owner') {
        throw new LastmetreError('figure-refused', 'The first account is the owner’s: it makes the others.')
      }
      if (known.length >= MAX_ACCOUNTS) {
        throw new LastmetreError('figure-refused', `There are ${MAX_ACCOUNTS} accounts already.`)
      }
      // Badges that differ in capitals only are one badge to a scanner with its capitals lock on.
      const same = known.find((row) => row.account.toLowerCase() === account.toLowerCase())
      if (same)
        throw new LastmetreError('figure-refused', `The badge ${same.account} has an account already.`)
      await insertAccount(trx, newRow(wanted, name, hash, this.#now()))
      await this.#audit(trx, { kind: 'change-account', account, what: 'added', role }, actor)
    })
  }

  /**
   * Changes role or PIN, closes or reopens; its sessions end, and a new PIN ends a lock-out.
   * Throws 'unknown-id' and 'figure-refused'.
   */
  async change(account: string, change: AccountChange, actor: string): Promise<void> {
    if (change.pin !== null) checkPin(change.pin, account)
    const hash = change.pin === null ? null : await this.#pins.hash(change.pin)
    await this.#db.transaction().execute(async (trx) => {
      const before = await findAccount(trx, account)
      if (before === undefined) throw new LastmetreError('unknown-id', `There is no account ${account}.`)
      const after = changed(before, change, hash)
      const owners = await openOwners(trx)
      const staysOwner = after.role === 'owner' && after.closed === 0
      if (owners.length === 1 && owners[0] === account && !staysOwner) {
        throw new LastmetreError('figure-refused', 'This is the last owner; make another one first.')
      }
      const { role, pin_hash, closed } = after
      await changeAccount(trx, account, { role, pin_hash, closed }, new Date(this.#now()).toISOString())
      if (hash !== null) await clearLocks(trx, [lockOfAccount(account)])
      for (const what of whatChanged(change))
        await this.#audit(trx, { kind: 'change-account', account, what, role: after.role }, actor)
    })
  }

  /** The owner's way back in, on the machine itself: makes an owner, or gives one a new PIN and opens it. */
  async putOwner(badge: string, name: string, pin: string): Promise<'added' | 'changed'> {
    if ((await findAccount(this.#db, badge)) === undefined) {
      await this.add({ account: badge, name, role: 'owner', pin }, LOCAL_ACCOUNT)
      return 'added'
    }
    await this.change(badge, { role: 'owner', pin, closed: false }, LOCAL_ACCOUNT)
    return 'changed'
  }

  /** Whether somebody with an account that is open may do all; throws 'owner-missing' where not. */
  async needOwner(): Promise<void> {
    if ((await openOwners(this.#db)).length > 0) return
    throw new LastmetreError('owner-missing', 'Off this machine nothing is served before there is an owner.')
  }
}

/** Under which wrong PINs of an account are counted. */
export function lockOfAccount(account: string): string {
  return `account:${account}`
}

function newRow(wanted: NewAccount, name: string, hash: string, nowMs: number): AccountRow {
  const { account, role } = wanted
  return { account, name, role, pin_hash: hash, closed: 0, made_at: new Date(nowMs).toISOString() }
}

function whatChanged(change: AccountChange): EventOf<'account-changed'>['what'][] {
  return [
    ...(change.role === null ? [] : (['role'] as const)),
    ...(change.pin === null ? [] : (['pin'] as const)),
    ...(change.closed === null ? [] : [change.closed ? ('closed' as const) : ('added' as const)]),
  ]
}

function changed(before: AccountRow, change: AccountChange, hash: string | null): AccountRow {
  return {
    ...before,
    role: change.role ?? before.role,
    pin_hash: hash ?? before.pin_hash,
    closed: change.closed === null ? before.closed : Number(change.closed),
  }
}

function checkBadge(account: string): void {
  if (!isId(account) || account.toLowerCase() === LOCAL_ACCOUNT) {
    throw new LastmetreError('figure-refused', `A badge is ${ID_RIGHT}; “${LOCAL_ACCOUNT}” is none.`)
  }
}

function checkedName(text: string): string {
  const name = text.trim()
  if (name === '' || name.length > MAX_NAME || /[\p{Cc}\p{Cf}]/u.test(name)) {
    throw new LastmetreError('figure-refused', `A name is 1 to ${MAX_NAME} letters on one line.`)
  }
  return name
}
