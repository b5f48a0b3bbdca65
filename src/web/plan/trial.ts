import { useCallback, useState } from 'react'
import type { Explanation } from '../../plan/explain.ts'
import type { TryAnswer, TryChange } from '../../works/api.ts'
import { postJson } from '../api.ts'
import { useWorks } from '../works-state.tsx'

/** Changes that wait to be tried, what came of the last try, and what was asked about one order line. */
export interface Trial {
  changes: TryChange[]
  add: (change: TryChange) => void
  remove: (index: number) => void
  busy: 'trying' | 'asking' | 'taking' | null
  error: Error | null
  answer: TryAnswer | null
  explanation: Explanation | null
  run: () => Promise<void>
  take: (which: 'before' | 'after') => Promise<void>
  putAway: () => void
  explain: (line: string) => Promise<void>
  /** Said to a screen reader. */
  said: string
}

const TRY_SECONDS = 2
const EXPLAIN_SECONDS = 1

export function useTrial(): Trial {
  const { refresh } = useWorks()
  const [changes, setChanges] = useState<TryChange[]>([])
  const [busy, setBusy] = useState<Trial['busy']>(null)
  const [error, setError] = useState<Error | null>(null)
  const [answer, setAnswer] = useState<TryAnswer | null>(null)
  const [explanation, setExplanation] = useState<Explanation | null>(null)
  const [said, setSaid] = useState('')

  const doing = useCallback(async (what: NonNullable<Trial['busy']>, work: () => Promise<string>) => {
    setBusy(what)
    setError(null)
    try {
      setSaid(await work())
    } catch (e) {
      setError(e as Error)
    } finally {
      setBusy(null)
    }
  }, [])

  const putAway = useCallback(() => {
    setChanges([])
    setAnswer(null)
    setExplanation(null)
    setError(null)
  }, [])

  return {
    changes,
    busy,
    error,
    answer,
    explanation,
    said,
    putAway,
    add: (change) => {
      const known = changes.some((c) => JSON.stringify(c) === JSON.stringify(change))
      if (!known) setChanges([...changes, change])
      setSaid(known ? 'That change is in the list already.' : `${changes.length + 1} to try.`)
    },
    remove: (index) => setChanges(changes.filter((_, i) => i !== index)),
    run: () =>
      doing('trying', async () => {
        setExplanation(null)
        setAnswer(await postJson<TryAnswer>('/api/plan/try', { changes, seconds: TRY_SECONDS }))
        return 'Both plans are ready to compare.'
      }),
    take: (which) =>
      doing('taking', async () => {
        await postJson('/api/plan/take', { token: answer?.token, take: which })
        await refresh()
        putAway()
        return 'The plan is taken and kept.'
      }),
    explain: (line) =>
      doing('asking', async () => {
        const at = line.lastIndexOf('/')
        const asked = { order: line.slice(0, at), orderLine: Number(line.slice(at + 1)) }
        setAnswer(null)
        setExplanation(
          await postJson<Explanation>('/api/plan/explain', { ...asked, seconds: EXPLAIN_SECONDS }),
        )
        return `What else could be done for ${line} is answered.`
      }),
  }
}
