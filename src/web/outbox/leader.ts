import { type StationStore, takeLease } from './station-store.ts'

const LOCK = 'lastmetre-outbox'
const RENEW_MS = 2000

/**
 * Calls `lead` once this page is the only one that sends, and `follow` if it no longer is. With locks of the browser
 * where it has them (TLS or loopback), else by a lease in the store. Returns what gives it up.
 */
export function takeLead(db: StationStore, lead: () => void, follow: () => void): () => void {
  // not there without TLS, whatever the types say
  const locks = navigator.locks as LockManager | undefined
  return locks ? byLock(locks, lead) : byLease(db, lead, follow)
}

function byLock(locks: LockManager, lead: () => void): () => void {
  const given = new AbortController()
  const until = new Promise<void>((resolve) => given.signal.addEventListener('abort', () => resolve()))
  const hold = () => {
    lead()
    return until
  }
  // given up while waiting for it: nothing was held
  locks.request(LOCK, { signal: given.signal }, hold).catch(() => undefined)
  return () => given.abort()
}

function byLease(db: StationStore, lead: () => void, follow: () => void): () => void {
  const page = String(crypto.getRandomValues(new Uint32Array(2)).join('-'))
  let leads = false
  const renew = async () => {
    const now = await takeLease(db, page, Date.now())
    if (now && !leads) lead()
    if (!now && leads) follow()
    leads = now
  }
  const again = () => void renew().catch(() => undefined)
  again()
  const timer = setInterval(again, RENEW_MS)
  return () => clearInterval(timer)
}
