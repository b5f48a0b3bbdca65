import { useState } from 'react'
import type { AccountChange, AccountsAnswer, AccountView } from '../../works/access-api.ts'
import { postJson } from '../api.ts'
import { type Act, RoleField } from './account-form.tsx'
import { PinField } from './pin-field.tsx'

const NOTHING: AccountChange = { role: null, pin: null, closed: null }

/** One account: another role, a new PIN, closed or open again. Each ends its sessions. */
export function ChangeForm({ account, act }: { account: AccountView; act: Act }) {
  const [role, setRole] = useState(account.role)
  const [pin, setPin] = useState('')
  const change = (what: Partial<AccountChange>, said: string) =>
    act(
      () =>
        postJson<AccountsAnswer>(`/api/accounts/${encodeURIComponent(account.account)}`, {
          ...NOTHING,
          ...what,
        }),
      said,
    )
  const sameRole = role === account.role
  return (
    <form
      className="stack"
      aria-labelledby="change-account-head"
      onSubmit={(event) => {
        event.preventDefault()
        const what = { role: sameRole ? null : role, pin: pin === '' ? null : pin }
        void change(what, `${account.name} is changed and signs in anew.`).then((done) => done && setPin(''))
      }}
    >
      <h3 id="change-account-head" className="wraps">
        Change {account.name}
      </h3>
      <RoleField role={role} onRole={setRole} />
      <PinField id="change-pin" label="New PIN; empty leaves it" pin={pin} required={false} onPin={setPin} />
      <div className="row">
        <button type="submit" className="button" disabled={sameRole && pin === ''}>
          Change it
        </button>
        {account.closed ? (
          <button
            type="button"
            className="button"
            onClick={() => void change({ closed: false }, `${account.name} may sign in again.`)}
          >
            Open it again
          </button>
        ) : (
          <button
            type="button"
            className="button"
            onClick={() => void change({ closed: true }, `${account.name} may not sign in any more.`)}
          >
            Close it
          </button>
        )}
      </div>
    </form>
  )
}
