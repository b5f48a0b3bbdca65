import type { Store } from '../store/dialect.ts'
import { AccountsDesk, type Audit } from './accounts-desk.ts'
import { PinKeeper } from './accounts-pin.ts'
import { SessionsDesk } from './sessions-desk.ts'
import { SignInDesk } from './sign-in-desk.ts'

export interface AccessDesks {
  accounts: AccountsDesk
  sessions: SessionsDesk
  signIn: SignInDesk
}

/** Accounts, sessions and signing in over one store; `now` is the clock in milliseconds. */
export function openAccess(
  db: Store,
  audit: Audit,
  { pins = new PinKeeper(), now = Date.now }: { pins?: PinKeeper; now?: () => number } = {},
): AccessDesks {
  const sessions = new SessionsDesk(db, now)
  return {
    accounts: new AccountsDesk(db, audit, pins, now),
    sessions,
    signIn: new SignInDesk(db, { sessions, audit, pins, now }),
  }
}
