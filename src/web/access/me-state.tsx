import {
  createContext,
  type ReactNode,
  useCallback,
  useContext,
  useEffect,
  useMemo,
  useRef,
  useState,
} from 'react'
import { type Deed, MAY, may, type Role } from '../../ledger/roles.ts'
import { LOCAL_ACCOUNT, type Me } from '../../works/access-api.ts'
import { ask, onSignInNeeded } from '../api.ts'
import { deedWords, rolesInWords } from './role-words.ts'
import { SignInPlace } from './sign-in-place.tsx'
import {
  isSessionOver,
  isSignOutOwed,
  KEPT_PERSON,
  keepPerson,
  keptPerson,
  oweSignOut,
  paySignOut,
  SIGNED_OUT,
  UNKNOWN_PERSON,
} from './station-person.ts'

export interface MeState {
  /** Null: nobody is signed in. 'local' while there are no accounts. */
  account: string | null
  name: string
  role: Role | null
  /** There are accounts, so that signing out makes sense. */
  accounts: boolean
  may: (deed: Deed) => boolean
  /** Why a button does nothing here, to stand beside it; null where it may be pressed. */
  whyNot: (deed: Deed) => string | null
  /** Asks the server again who is signed in. */
  refresh: () => Promise<void>
  signOut: () => Promise<void>
}

const Context = createContext<MeState | null>(null)

/** Who is signed in on this station, and what they may do. */
export function useMe(): MeState {
  const state = useContext(Context)
  if (!state) throw new Error('useMe outside MeProvider')
  return state
}

const ASK_MS = 10_000

/**
 * Knows who is signed in and asks for a sign-in where nobody is. What stood on the screen stays, hidden, while the same
 * person signs in again after a shift or a pause; for another person, and after signing out, all begins anew.
 */
export function MeProvider({ children }: { children: ReactNode }) {
  const [me, setMe] = useState<Me | null>(keptPerson)
  const [holder, setHolder] = useState<string | null>(me?.account ?? null)

  // what was asked before somebody signed in or out, and is answered after, says nothing any more
  const asked = useRef(0)
  const taken = useRef(0)

  const take = useCallback((next: Me, at = ++asked.current) => {
    if (at < taken.current) return
    taken.current = at
    keepPerson(next)
    setMe(next)
    if (next.account !== null) setHolder(next.account)
  }, [])
  const refresh = useCallback(async () => {
    const at = ++asked.current
    try {
      await paySignOut()
      take(await ask<Me>('/api/me', { signal: AbortSignal.timeout(ASK_MS) }), at)
    } catch {
      // another page of this station may know better
      const kept = keptPerson()
      if (isSessionOver()) {
        // as it would with the server: what stands here is kept, and nothing more is recorded under it
        oweSignOut()
        return take({ ...SIGNED_OUT, readable: kept?.readable ?? false })
      }
      setMe((known) => kept ?? known ?? UNKNOWN_PERSON)
      if (kept?.account) setHolder(kept.account)
    }
  }, [take])
  const signOut = useCallback(async () => {
    // without the server the session is ended as soon as it can be told; nobody records under it meanwhile
    oweSignOut()
    await paySignOut().catch(() => undefined)
    setHolder(null)
    take({ ...SIGNED_OUT, readable: me?.readable ?? false })
  }, [me, take])

  useRefreshed(refresh)

  const state = useMemo(() => (me ? stateOf(me, refresh, signOut) : null), [me, refresh, signOut])
  if (!me || !state) return null
  const needed = me.accounts && me.account === null
  return (
    <Context.Provider value={state}>
      {needed && (
        <SignInPlace
          readable={me.readable}
          last={holder === LOCAL_ACCOUNT ? null : holder}
          onSignedIn={take}
        />
      )}
      {(!needed || holder !== null) && (
        <div hidden={needed} key={holder ?? ''}>
          {children}
        </div>
      )}
    </Context.Provider>
  )
}

/** Asks who is signed in at first, and whenever that may have changed. */
function useRefreshed(refresh: () => Promise<void>): void {
  useEffect(() => {
    void refresh()
    return onSignInNeeded(() => void refresh())
  }, [refresh])
  // The server came back, or was never known, or another page of this station did something: who is signed in may have changed.
  useEffect(() => {
    const again = () => void refresh()
    const other = ({ key }: StorageEvent) => key === KEPT_PERSON && again()
    const timer = setInterval(() => (isSignOutOwed() || isSessionOver()) && again(), ASK_MS)
    window.addEventListener('online', again)
    window.addEventListener('storage', other)
    return () => {
      clearInterval(timer)
      window.removeEventListener('online', again)
      window.removeEventListener('storage', other)
    }
  }, [refresh])
}

function stateOf(me: Me, refresh: () => Promise<void>, signOut: () => Promise<void>): MeState {
  const { account, name, role, accounts } = me
  const allowed = (deed: Deed) => role !== null && may(role, deed)
  return {
    account,
    name,
    role,
    accounts,
    may: allowed,
    whyNot: (deed) =>
      allowed(deed)
        ? null
        : `${deedWords(deed)} is for ${rolesInWords(MAY[deed])}.${role ? ` You are signed in as ${role}.` : ''}`,
    refresh,
    signOut,
  }
}
