import { type ReactNode, useId } from 'react'
import type { Deed } from '../../ledger/roles.ts'
import { useMe } from './me-state.tsx'

/**
 * What only some roles may do: for the others it stands still and says whose it is. The same element for all, so that
 * nothing typed in it is lost while a session has ended.
 */
export function Allowed({ deed, children }: { deed: Deed; children: ReactNode }) {
  const { whyNot } = useMe()
  const why = whyNot(deed)
  const id = useId()
  return (
    <fieldset
      className="allowed"
      disabled={why !== null}
      role={why === null ? 'presentation' : 'group'}
      aria-describedby={why === null ? undefined : id}
    >
      {children}
      {why !== null && (
        <p id={id} className="small why-not">
          {why}
        </p>
      )}
    </fieldset>
  )
}
