import { useMe } from './me-state.tsx'

/** Who is signed in on this station, on the top line; nothing while there are no accounts. */
export function SignedIn() {
  const { account, name, role, accounts, signOut } = useMe()
  if (!accounts || account === null) return null
  return (
    <div className="signed-in small">
      <p className="wraps">
        {name} · {role ?? 'PIN not looked at yet'}
      </p>
      <button type="button" className="button" onClick={() => void signOut()}>
        Sign out
      </button>
    </div>
  )
}
