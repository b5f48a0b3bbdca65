import type { Drum } from '../../strip/drum.ts'
import { supplyM } from '../format.ts'

interface Props {
  missing: readonly Drum[]
  /** Who is signed in may not count. */
  blocked: boolean
  busy: boolean
  onNotThere: (drum: Drum) => void
}

/** What this round has not found yet. */
export function MissingDrums({ missing, blocked, busy, onNotThere }: Props) {
  if (missing.length === 0) return null
  return (
    <section className="stack" aria-labelledby="missing-head">
      <h2 id="missing-head">Not found yet</h2>
      <ul className="plain-list columns-list">
        {missing.map((d) => (
          <li key={d.drum} className="wraps">
            <strong>{d.drum}</strong> {d.cable}, {supplyM(d.bookUm)}, {d.location ?? 'no place'}{' '}
            <button
              type="button"
              className="link-button"
              aria-label={`${d.drum} is not there`}
              aria-disabled={blocked || busy}
              onClick={() => !blocked && onNotThere(d)}
            >
              not there
            </button>
          </li>
        ))}
      </ul>
    </section>
  )
}
