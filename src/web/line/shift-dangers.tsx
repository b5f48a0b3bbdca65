import { useState } from 'react'
import { DEFER } from '../../dispatch/dangers.ts'

const KEY = 'lastmetre.line-dangers-read'
/** A shift; whoever comes after it reads them anew. */
const SHIFT_MS = 8 * 3_600_000

function readAtMs(): number | null {
  const stored = Number(window.localStorage.getItem(KEY))
  return stored > 0 && Date.now() - stored < SHIFT_MS ? stored : null
}

/** The dangers of the step, on top until they are acknowledged once a shift. */
export function ShiftDangers({ dangers }: { dangers: string[] }) {
  const [atMs, setAtMs] = useState(readAtMs)
  const list = (
    <ul className="dangers">
      {dangers.map((text) => (
        <li key={text} className="wraps">
          {text}
        </li>
      ))}
    </ul>
  )
  if (atMs !== null)
    return (
      <details className="small">
        <summary>
          Dangers of this step, read at{' '}
          {new Date(atMs).toLocaleTimeString('en-GB', { hour: '2-digit', minute: '2-digit' })}
        </summary>
        {list}
        <p>{DEFER}</p>
      </details>
    )
  return (
    <section className="banner bad stack" aria-labelledby="dangers-head">
      <h2 id="dangers-head">Dangers of this step</h2>
      {list}
      <p>{DEFER}</p>
      <div>
        <button
          type="button"
          className="button in-hand"
          onClick={() => {
            window.localStorage.setItem(KEY, String(Date.now()))
            setAtMs(Date.now())
          }}
        >
          Read, for this shift
        </button>
      </div>
    </section>
  )
}
