import type { MouseEvent } from 'react'
import type { WorksSummary } from '../../works/api.ts'
import { SignedIn } from '../access/signed-in.tsx'
import { day } from '../format.ts'
import { go, PLACES, type PlacePath } from '../route.ts'

function follow(event: MouseEvent, path: PlacePath) {
  // a new tab or window is the browser's business
  if (event.ctrlKey || event.metaKey || event.shiftKey || event.button !== 0) return
  event.preventDefault()
  go(path)
}

export function TopLine({ place, works }: { place: PlacePath; works: WorksSummary | null }) {
  return (
    <header className="top">
      <div className="top-names">
        <a className="top-name" href="/plan" onClick={(event) => follow(event, '/plan')}>
          Lastmetre
        </a>
        {works && (
          <p className="top-works small quiet wraps">
            {works.name} · planning day {day(works.todayDate)}
          </p>
        )}
        <SignedIn />
      </div>
      <nav className="strip-nav" aria-label="Places">
        <ul>
          {PLACES.map(({ path, word }) => (
            <li key={path}>
              <a
                href={path}
                aria-current={path === place ? 'page' : undefined}
                onClick={(event) => follow(event, path)}
              >
                {word}
              </a>
            </li>
          ))}
        </ul>
      </nav>
    </header>
  )
}
