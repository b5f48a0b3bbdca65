import { useState } from 'react'
import { ROLES, type Role } from '../../ledger/roles.ts'
import type { AccountsAnswer, NewAccount } from '../../works/access-api.ts'
import { postJson } from '../api.ts'
import { SelectField } from '../parts/select-field.tsx'
import { PinField } from './pin-field.tsx'

export type Act = (work: () => Promise<AccountsAnswer>, said: string) => Promise<boolean>

interface AccountFormProps {
  people: AccountsAnswer['people']
  /** There is none yet: this one is the owner's. */
  first: boolean
  act: Act
}

const ROLE_OPTIONS = ROLES.map((role) => [role, role] as const)
const EMPTY: NewAccount = { account: '', name: '', role: 'line', pin: '' }

/** A new account; the people of the works folder are proposed. */
export function AccountForm({ people, first, act }: AccountFormProps) {
  const [draft, setDraft] = useState<NewAccount>(EMPTY)
  const role: Role = first ? 'owner' : draft.role
  const set = (change: Partial<NewAccount>) => setDraft((before) => ({ ...before, ...change }))
  return (
    <form
      className="stack"
      aria-labelledby="new-account-head"
      onSubmit={(event) => {
        event.preventDefault()
        const wanted = { ...draft, role }
        void act(() => postJson<AccountsAnswer>('/api/accounts', wanted), `${wanted.name} may sign in.`).then(
          (done) => done && setDraft(EMPTY),
        )
      }}
    >
      <h3 id="new-account-head">{first ? 'Make the owner’s account' : 'Make an account'}</h3>
      <div className="field">
        <label htmlFor="account-badge">Badge code, as the scanner reads it</label>
        <input
          id="account-badge"
          list="account-people"
          required
          maxLength={32}
          autoComplete="off"
          spellCheck={false}
          value={draft.account}
          onChange={(event) => set({ account: event.target.value.trim() })}
        />
        <datalist id="account-people">
          {people.map((person) => (
            <option key={person.id} value={person.id}>
              {person.role}
            </option>
          ))}
        </datalist>
      </div>
      <div className="field">
        <label htmlFor="account-name">Name</label>
        <input
          id="account-name"
          required
          maxLength={120}
          autoComplete="off"
          value={draft.name}
          onChange={(event) => set({ name: event.target.value })}
        />
      </div>
      {!first && <RoleField role={draft.role} onRole={(next) => set({ role: next })} />}
      <PinField
        id="account-pin"
        label="PIN, 6 to 12 digits"
        pin={draft.pin}
        required
        onPin={(pin) => set({ pin })}
      />
      <div>
        <button type="submit" className="button">
          {first ? 'Make the owner’s account' : 'Make the account'}
        </button>
      </div>
    </form>
  )
}

export function RoleField({ role, onRole }: { role: Role; onRole: (role: Role) => void }) {
  return <SelectField label="Role" value={role} options={ROLE_OPTIONS} onValue={onRole} />
}
