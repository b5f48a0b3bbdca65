import { useEffect, useState } from 'react'
import { DEFER } from '../../dispatch/dangers.ts'
import { useMe } from '../access/me-state.tsx'
import { keepRead, keptRead, readAtMs, withRead } from './dangers-read.ts'

/** A tablet stays on for weeks: whether they are still read is looked at so often. */
const LOOK_EVERY_MS = 60_000

/** The dangers of the step, on top until whoever stands here has acknowledged them once a shift. */
export function ShiftDangers({ dangers }: { dangers: string[] }) {
  const { account } = useMe()
  const [kept, setKept] = useState(keptRead)
  const [nowMs, setNowMs] = useState(Date.now)
  useEffect(() => {
    const look = () => setNowMs(Date.now())
    const timer = setInterval(look, LOOK_EVERY_MS)
    return () => clearInterval(timer)
  }, [])
  // who is not known stands for nobody else, and is not kept: whoever comes next reads them
  const person = account ?? ''
  const atMs = readAtMs(kept, person, nowMs)
  const acknowledge = () => {
    const now = Date.now()
    const text = withRead(keptRead() ?? kept, person, now)
    if (account !== null) keepRead(text)
    setNowMs(now)
    setKept(text)
  }
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
        <button type="button" className="button in-hand" onClick={acknowledge}>
          Read, for this shift
        </button>
      </div>
    </section>
  )
}
