import { createContext, type ReactNode, useCallback, useContext, useEffect, useMemo, useState } from 'react'
import { type Deed, MAY, may, type Role } from '../../ledger/roles.ts'
import { LOCAL_ACCOUNT, type Me } from '../../works/access-api.ts'
import { ask, onSignInNeeded, postJson } from '../api.ts'
import { deedWords, rolesInWords } from './role-words.ts'
import { SignInPlace } from './sign-in-place.tsx'

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

/** Who was signed in last, for a page that is loaded while the server cannot be reached. */
const KEPT = 'lastmetre.me'

function keep(me: Me): void {
  try {
    if (me.role === null) localStorage.removeItem(KEPT)
    else localStorage.setItem(KEPT, JSON.stringify(me))
  } catch {
    // a browser that keeps nothing has to ask
  }
}

function kept(): Me | null {
  try {
    return JSON.parse(localStorage.getItem(KEPT) ?? 'null') as Me | null
  } catch {
    return null
  }
}

const ASK_MS = 10_000
const UNKNOWN: Me = { account: null, name: '', role: null, accounts: false, readable: false }

/**
 * Knows who is signed in and asks for a sign-in where nobody is. What stood on the screen stays, hidden, while the same
 * person signs in again after a shift or a pause; for another person, and after signing out, all begins anew.
 */
export function MeProvider({ children }: { children: ReactNode }) {
  const [me, setMe] = useState<Me | null>(kept)
  const [holder, setHolder] = useState<string | null>(me?.account ?? null)

  const take = useCallback((next: Me) => {
    keep(next)
    setMe(next)
    if (next.account !== null) setHolder(next.account)
  }, [])
  const refresh = useCallback(async () => {
    try {
      take(await ask<Me>('/api/me', { signal: AbortSignal.timeout(ASK_MS) }))
    } catch {
      // without an answer the places show what they can, and the server decides on each thing done
      setMe((known) => known ?? UNKNOWN)
    }
  }, [take])
  const signOut = useCallback(async () => {
    const next = await postJson<Me>('/api/sign-out', {})
    setHolder(null)
    take(next)
  }, [take])

  useEffect(() => {
    void refresh()
    return onSignInNeeded(() => void refresh())
  }, [refresh])
  // The server came back, or was never known: who is signed in may have changed meanwhile.
  useEffect(() => {
    const again = () => void refresh()
    window.addEventListener('online', again)
    return () => window.removeEventListener('online', again)
  }, [refresh])

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
