import { useCallback, useEffect, useState } from 'react'
import type { AccountsAnswer } from '../../works/access-api.ts'
import { ask } from '../api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { AccountForm } from './account-form.tsx'
import { AccountTable } from './account-table.tsx'
import { ChangeForm } from './change-form.tsx'
import { useMe } from './me-state.tsx'
import { RoleTable } from './role-table.tsx'

/** Who may sign in, and what each role may do. */
export function AccountsSection() {
  const { accounts, whyNot } = useMe()
  const why = whyNot('manage-accounts')
  return (
    <section className="stack" aria-labelledby="accounts-head">
      <h2 id="accounts-head">Who may do what</h2>
      {!accounts && (
        <p>
          There are no accounts: whoever sits at this machine may do everything, and nobody else reaches these
          screens. Once there is an owner, everybody signs in with badge and PIN.
        </p>
      )}
      {why === null ? <ManagedAccounts /> : <p className="why-not small">{why}</p>}
      <RoleTable />
    </section>
  )
}

function ManagedAccounts() {
  const { accounts: exist, refresh } = useMe()
  const [answer, setAnswer] = useState<AccountsAnswer | null>(null)
  const [chosen, setChosen] = useState<string | null>(null)
  const [done, setDone] = useState('')
  const [error, setError] = useState<Error | null>(null)

  useEffect(() => {
    ask<AccountsAnswer>('/api/accounts').then(setAnswer, setError)
  }, [])
  /** True where it was done. */
  const act = useCallback(
    async (work: () => Promise<AccountsAnswer>, said: string) => {
      setError(null)
      setDone('')
      try {
        setAnswer(await work())
        setDone(said)
        // The first account ends the time without a sign-in, and one's own may have been changed.
        await refresh()
        return true
      } catch (failure) {
        setError(failure as Error)
        return false
      }
    },
    [refresh],
  )

  if (answer === null) return error && <Refusal error={error} />
  const row = answer.accounts.find((one) => one.account === chosen)
  return (
    <>
      {answer.accounts.length > 0 && (
        <AccountTable accounts={answer.accounts} chosen={chosen} onChoose={setChosen} />
      )}
      <div className="account-forms">
        {row && <ChangeForm key={row.account} account={row} act={act} />}
        <AccountForm people={answer.people} first={!exist} act={act} />
      </div>
      <p role="status">{done && <strong>✓ {done}</strong>}</p>
      {error && <Refusal error={error} />}
    </>
  )
}
