import { useState } from 'react'
import { useMe } from './me-state.tsx'

/** Who is signed in on this station, on the top line; nothing while there are no accounts. */
export function SignedIn() {
  const { account, name, role, accounts, signOut } = useMe()
  const [failed, setFailed] = useState(false)
  if (!accounts || account === null) return null
  return (
    <div className="signed-in small">
      <p className="wraps">
        {name} · {role}
        {failed && (
          <strong role="alert" className="wrong">
            {' '}
            Not signed out: the server does not answer.
          </strong>
        )}
      </p>
      <button
        type="button"
        className="button"
        onClick={() => {
          setFailed(false)
          signOut().catch(() => setFailed(true))
        }}
      >
        Sign out
      </button>
    </div>
  )
}
