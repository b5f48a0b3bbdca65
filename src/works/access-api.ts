import type { Role } from '../ledger/roles.ts'

/** Who asks, and who may. Paths beside each. */

/** Account of whoever sits at the machine while there are no accounts. */
export const LOCAL_ACCOUNT = 'local'

/** GET /api/me; also what POST /api/sign-in and POST /api/sign-out answer. */
export interface Me {
  /** LOCAL_ACCOUNT while there are no accounts; null: nobody is signed in. */
  account: string | null
  name: string
  role: Role | null
  /** There are accounts: everybody signs in. */
  accounts: boolean
  /** What is typed here can be read in the network: plain http, and not on the machine itself. */
  readable: boolean
  /** What a station keeps with the records of this session, so that they are booked to their maker whoever sends them; opens nothing. */
  pass: string | null
  /** So long the session lasts at most, ms from now; null where there is none. */
  leftMs: number | null
}

/** Body of POST /api/sign-in. */
export interface SignInRequest {
  badge: string
  pin: string
}

/** GET /api/accounts. */
export interface AccountsAnswer {
  accounts: AccountView[]
  /** People of the works folder who have no account yet: proposals. */
  people: { id: string; role: string }[]
}

export interface AccountView {
  account: string
  name: string
  role: Role
  closed: boolean
  /** ISO 8601, UTC. */
  madeAt: string
  /** ISO 8601, UTC; null where signing in is open. */
  lockedUntil: string | null
}

/** Body of POST /api/accounts. */
export interface NewAccount {
  account: string
  name: string
  role: Role
  pin: string
}

/** Body of POST /api/accounts/:account. What is null stays as it is. */
export interface AccountChange {
  role: Role | null
  pin: string | null
  closed: boolean | null
}
