import { useEffect, useState } from 'react'

/** The questions of the bench, each with an address of its own behind the #. */
export const BENCH_VIEWS = [
  { id: 'today', word: 'Today' },
  { id: 'loss', word: 'Loss' },
  { id: 'judge', word: 'Judge a measurement' },
  { id: 'sets', word: 'Sets' },
] as const

export type BenchView = (typeof BENCH_VIEWS)[number]['id']

function viewOf(hash: string): BenchView | null {
  return BENCH_VIEWS.find(({ id }) => `#${id}` === hash)?.id ?? null
}

let latest: BenchView = 'today'

/** The view that the address names; the last one where it names none. */
export function useBenchView(): BenchView {
  const [view, setView] = useState(() => viewOf(window.location.hash) ?? latest)
  useEffect(() => {
    const read = () => {
      const named = viewOf(window.location.hash)
      if (named === null) return
      latest = named
      setView(named)
    }
    window.addEventListener('hashchange', read)
    return () => window.removeEventListener('hashchange', read)
  }, [])
  return view
}

export function BenchViews({ view }: { view: BenchView }) {
  return (
    <nav className="bench-views" aria-label="Questions of the bench">
      {BENCH_VIEWS.map(({ id, word }) => (
        <a key={id} href={`#${id}`} aria-current={id === view ? 'true' : undefined}>
          {word}
        </a>
      ))}
    </nav>
  )
}
