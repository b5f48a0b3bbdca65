import { type FormEvent, type RefObject, useEffect, useRef, useState } from 'react'
import type { Me, SignInRequest } from '../../works/access-api.ts'
import { isId } from '../../works/column.ts'
import { postJson, ServerGone } from '../api.ts'
import { Refusal } from '../parts/refusal.tsx'
import { PinPad } from './pin-pad.tsx'
import { oweSignOut, paySignOut, SIGNED_OUT } from './station-person.ts'
import { useBadgeScan } from './use-badge-scan.ts'

const MAX_PIN = 12

interface SignInProps {
  /** What is typed can be read in the network. */
  readable: boolean
  /** Whose things are kept behind this screen. */
  last: string | null
  onSignedIn: (me: Me) => void
}

/** Badge, then PIN: by scanner and pad, or by keyboard alone. */
export function SignInPlace({ readable, last, onSignedIn }: SignInProps) {
  const [badge, setBadge] = useState('')
  const [pin, setPin] = useState('')
  const [busy, setBusy] = useState(false)
  const [error, setError] = useState<Error | null>(null)
  const badgeField = useRef<HTMLInputElement>(null)
  const pinField = useRef<HTMLInputElement>(null)

  useEffect(() => {
    document.title = 'Sign in · Lastmetre'
    badgeField.current?.focus()
  }, [])
  useBadgeScan(badgeField, pinField, (code) => {
    setBadge(code)
    setPin('')
    setError(null)
    pinField.current?.focus()
  })

  async function signIn(event: FormEvent) {
    event.preventDefault()
    if (busy) return
    if (badge === '') return badgeField.current?.focus()
    if (pin === '') return pinField.current?.focus()
    setBusy(true)
    setError(null)
    try {
      await paySignOut()
      onSignedIn(await postJson<Me>('/api/sign-in', { badge, pin } satisfies SignInRequest))
    } catch (failure) {
      setError(failure as Error)
      setPin('')
      setBusy(false)
      pinField.current?.focus()
    }
  }

  /** Nobody can look at the PIN: what is recorded waits until this badge has signed in. */
  function goOn() {
    oweSignOut()
    onSignedIn({ ...SIGNED_OUT, account: badge, name: badge, readable })
  }

  return (
    <main className="main sign-in-place">
      <SignInHead readable={readable} last={last} />
      <form className="sign-in" onSubmit={(event) => void signIn(event)}>
        <div className="stack sign-in-fields">
          <SignInFields {...{ badge, badgeField, pin, pinField }} onBadge={setBadge} onPin={setPin} />
          <button type="submit" className="main-action" disabled={busy}>
            Sign in
          </button>
          <p role="status">{busy ? 'Looking at the PIN …' : ''}</p>
          {error && <Refusal error={error} />}
          {error instanceof ServerGone && isId(badge) && <GoOn badge={badge} onGoOn={goOn} />}
        </div>
        <PinPad
          onDigit={(digit) => setPin((before) => (before + digit).slice(0, MAX_PIN))}
          onBack={() => setPin((before) => before.slice(0, -1))}
        />
      </form>
    </main>
  )
}

/** A shift changes while the network is away. */
function GoOn({ badge, onGoOn }: { badge: string; onGoOn: () => void }) {
  return (
    <div className="banner stack close">
      <p className="wraps">
        The PIN cannot be looked at now. What you record is kept on this station under{' '}
        <strong>{badge}</strong> and sent once {badge} has signed in here.
      </p>
      <button type="button" className="button in-hand" onClick={onGoOn}>
        Go on as {badge} without the server
      </button>
    </div>
  )
}

function SignInHead({ readable, last }: Pick<SignInProps, 'readable' | 'last'>) {
  return (
    <section className="stack" aria-labelledby="sign-in-name">
      <h1 className="place-name" id="sign-in-name">
        Lastmetre: who is at this station?
      </h1>
      <p className="sentence">
        <strong>Scan your badge,</strong> then give your PIN.
      </p>
      {last !== null && (
        <p className="banner wraps">
          The session of {last} has ended. What stood here is kept and shows again once {last} signs in.
        </p>
      )}
      {readable && (
        <p className="banner">
          This page comes without encryption: whoever listens in the hall’s network can read the PIN. Use one
          that opens nothing else.
        </p>
      )}
    </section>
  )
}

interface SignInFieldsProps {
  badge: string
  badgeField: RefObject<HTMLInputElement | null>
  pin: string
  pinField: RefObject<HTMLInputElement | null>
  onBadge: (badge: string) => void
  onPin: (pin: string) => void
}

function SignInFields({ badge, badgeField, pin, pinField, onBadge, onPin }: SignInFieldsProps) {
  return (
    <>
      <div className="field">
        <label htmlFor="badge">Badge code</label>
        <input
          id="badge"
          ref={badgeField}
          value={badge}
          maxLength={100}
          autoComplete="off"
          autoCapitalize="none"
          spellCheck={false}
          onFocus={(event) => event.target.select()}
          onChange={(event) => onBadge(event.target.value.trim())}
        />
      </div>
      <div className="field">
        <label htmlFor="pin">PIN</label>
        <input
          id="pin"
          ref={pinField}
          type="password"
          inputMode="none"
          value={pin}
          maxLength={MAX_PIN}
          autoComplete="off"
          onChange={(event) => onPin(event.target.value.replace(/\D/g, ''))}
        />
      </div>
    </>
  )
}
