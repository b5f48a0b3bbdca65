import { createHash, randomBytes } from 'node:crypto'
import type { ServerResponse } from 'node:http'
import type { Role } from '../ledger/roles.ts'
import {
  beginSession,
  endSession,
  endSessionsBegunBefore,
  findSession,
  type SessionOfAccount,
  touchSession,
} from '../store/accounts.ts'
import type { Store } from '../store/dialect.ts'
import { addPass, findPass, forgetPassesBegunBefore } from '../store/record-passes.ts'
import type { AccountRow } from '../store/tables.ts'
import { passHash, passOfSession } from './record-pass.ts'

const MINUTE_MS = 60_000
/** A shift, with some time to hand over. */
const SHIFT_MS = 12 * 60 * MINUTE_MS
const IDLE_MS = 30 * MINUTE_MS
/** Noted at most so often, so that reading costs no writing. */
const TOUCH_MS = MINUTE_MS
const ID_BYTES = 32
/** So long a station may keep records before it sends them: then who made them can no longer be proven. */
const PASS_MS = 35 * 24 * 60 * MINUTE_MS
const MAX_OF_ACCOUNT = 8
/** Answers that stay open (news of the floor), of all sessions; more are served, but not ended with their session. */
const MAX_OPEN_ANSWERS = 2_000

export interface Person {
  account: string
  name: string
  role: Role
  /** So long the session lasts at most, from now. */
  leftMs: number
}

/** A session that is or was. */
export interface HeldSession {
  account: string
  role: Role
  fromMs: number
  /** Where it ended, or would end at the latest. */
  toMs: number
}

/**
 * Who is signed in. A session is 256 random bits in the cookie and their hash in the store: who reads the database
 * cannot become anybody. It ends after a shift, and after half an hour without use for those who do not stand at a line.
 */
export class SessionsDesk {
  readonly #db: Store
  readonly #now: () => number
  readonly #open = new Map<ServerResponse, string>()
  readonly #sweep: NodeJS.Timeout

  constructor(db: Store, now: () => number = Date.now) {
    this.#db = db
    this.#now = now
    this.#sweep = setInterval(() => void this.endOpenAnswers().catch(() => undefined), MINUTE_MS)
    this.#sweep.unref()
  }

  /** Within a transaction of the caller. Answers what the cookie is to hold. */
  async begin(trx: Store, { account, role }: Pick<AccountRow, 'account' | 'role'>): Promise<string> {
    const id = randomBytes(ID_BYTES).toString('base64url')
    const at = new Date(this.#now()).toISOString()
    await endSessionsBegunBefore(trx, new Date(this.#now() - SHIFT_MS).toISOString())
    const row = { id_hash: hashOf(id), account, began_at: at, used_at: at }
    await beginSession(trx, row, MAX_OF_ACCOUNT)
    await forgetPassesBegunBefore(trx, new Date(this.#now() - PASS_MS).toISOString())
    const hash = passHash(passOfSession(id))
    await addPass(trx, { pass_hash: hash, session_hash: row.id_hash, account, role, began_at: at })
    return id
  }

  /** Whose session it is; null where it has ended. `used`: a person did something, it is not a page that asks by itself. */
  async person(id: string, used: boolean): Promise<Person | null> {
    const hash = hashOf(id)
    const session = await findSession(this.#db, hash)
    if (session === undefined || this.#isOver(session)) return null
    if (used && this.#now() - Date.parse(session.used_at) >= TOUCH_MS) {
      await touchSession(this.#db, hash, new Date(this.#now()).toISOString())
    }
    const { account, name, role, began_at } = session
    return { account, name, role: role as Role, leftMs: Date.parse(began_at) + SHIFT_MS - this.#now() }
  }

  /** From when to when the holder of a pass was signed in, and as whom; null where no session had it, or it is too long ago. */
  async held(pass: string): Promise<HeldSession | null> {
    const row = await findPass(this.#db, passHash(pass))
    if (row === undefined) return null
    const { account, role, began_at, ended_at } = row
    const shiftEndMs = Date.parse(began_at) + SHIFT_MS
    return {
      account,
      role: role as Role,
      fromMs: Date.parse(began_at),
      toMs: ended_at === null ? shiftEndMs : Math.min(Date.parse(ended_at), shiftEndMs),
    }
  }

  async end(id: string): Promise<void> {
    await endSession(this.#db, hashOf(id), new Date(this.#now()).toISOString())
    await this.endOpenAnswers()
  }

  /** An answer that ends with its session, should it still be open then. */
  follow(id: string, answer: ServerResponse): void {
    if (this.#open.size >= MAX_OPEN_ANSWERS) return
    this.#open.set(answer, id)
    answer.once('close', () => this.#open.delete(answer))
  }

  /** Breaks off the answers that are still open for sessions that have ended. */
  async endOpenAnswers(): Promise<void> {
    for (const id of new Set(this.#open.values())) {
      if ((await this.person(id, false)) !== null) continue
      for (const [answer, of] of this.#open) if (of === id) answer.destroy()
    }
  }

  close(): void {
    clearInterval(this.#sweep)
  }

  #isOver(session: SessionOfAccount): boolean {
    const now = this.#now()
    if (now - Date.parse(session.began_at) >= SHIFT_MS) return true
    return session.role !== 'line' && now - Date.parse(session.used_at) >= IDLE_MS
  }
}

function hashOf(id: string): string {
  return createHash('sha256').update(id).digest('hex')
}
