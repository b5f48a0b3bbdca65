import type { Me } from '../../works/access-api.ts'
import { postJson } from '../api.ts'

/** Who stands at this station, for what is kept while the server cannot be asked. One browser is one station. */

/** Who made a record, as it is kept with it. */
export interface Maker {
  account: string
  name: string
  /** Me.pass; null where nobody looked at a PIN. */
  pass: string | null
}

/** Where it is kept, for other pages of this browser. */
export const KEPT_PERSON = 'lastmetre.me'
/** The session of the browser is to be ended before anything else is asked: the server could not be told yet. */
const OWED = 'lastmetre.sign-out-owed'
/** Whoever leaves does not wait longer for the server. */
const NO_ANSWER_MS = 3_000
/** Whose records are made where a browser that keeps nothing was loaded without a server. */
const NOBODY: Maker = { account: '', name: 'nobody known', pass: null }

/** Without an answer the places show what they can, and the server decides on each thing done. */
export const UNKNOWN_PERSON: Me = {
  ...{ account: null, name: '', role: null, accounts: false, readable: false, pass: null },
  leftMs: null,
}

/** Someone has to say who they are. */
export const SIGNED_OUT: Me = { ...UNKNOWN_PERSON, accounts: true }

const changes = new EventTarget()
let here: Me | null = null
/** When the session here ends at the latest, by this browser's clock. */
let untilMs: number | null = null

type Kept = Me & { untilMs?: number | null }

/** Notes who is signed in, for records and for a page that is loaded while the server cannot be reached. */
export function keepPerson(me: Me): void {
  const other = here?.account !== me.account || here.pass !== me.pass
  here = me
  untilMs = me.leftMs === null ? null : Date.now() + me.leftMs
  write(KEPT_PERSON, me.account === null ? null : JSON.stringify({ ...me, untilMs } satisfies Kept))
  if (other) changes.dispatchEvent(new Event('person'))
}

/** Who was noted last, by whichever page of this browser; null where nobody was. */
export function keptPerson(): Me | null {
  let kept: Kept | null = null
  try {
    kept = JSON.parse(localStorage.getItem(KEPT_PERSON) ?? 'null') as Kept | null
  } catch {
    // what this page knows itself
  }
  if (kept) untilMs = kept.untilMs ?? null
  here = kept ?? (isSignOutOwed() ? SIGNED_OUT : here)
  return here
}

/** The session here has had its time, though the server may not be there to say so: what is recorded now, it no longer proves. */
export function isSessionOver(): boolean {
  return untilMs !== null && Date.now() >= untilMs
}

/** By whom what is recorded now is made. */
export function makerNow(): Maker {
  if (here === null || here.account === null) return NOBODY
  const { account, name, pass } = here
  return { account, name, pass }
}

/** Calls back when another person stands here, or the same one with another session. */
export function onPerson(heard: () => void): () => void {
  changes.addEventListener('person', heard)
  return () => changes.removeEventListener('person', heard)
}

/** Signed out, or another took over, while the server could not be told. */
export function oweSignOut(): void {
  write(OWED, 'yes')
}

export function isSignOutOwed(): boolean {
  try {
    return localStorage.getItem(OWED) !== null
  } catch {
    return false
  }
}

let paying: Promise<Me> | null = null

/** Ends the session that this browser should no longer have; throws as `ask` does while the server is away. */
export async function paySignOut(): Promise<void> {
  if (!isSignOutOwed()) return
  // once for all who ask: a second one could end the session of who signs in meanwhile
  paying ??= postJson<Me>('/api/sign-out', {}, AbortSignal.timeout(NO_ANSWER_MS)).finally(() => {
    paying = null
  })
  await paying
  write(OWED, null)
}

function write(key: string, value: string | null): void {
  try {
    if (value === null) localStorage.removeItem(key)
    else localStorage.setItem(key, value)
  } catch {
    // a browser that keeps nothing has to ask
  }
}
