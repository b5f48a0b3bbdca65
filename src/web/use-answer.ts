import { useCallback, useEffect, useState } from 'react'
import { ask } from './api.ts'

export interface Asked<T> {
  answer: T | null
  error: Error | null
  /** Asks again; what was answered stays until then. */
  reload: () => Promise<void>
}

/** Asks the server whenever the path changes; null asks nothing. An answer that comes too late is dropped. */
export function useAnswer<T>(path: string | null): Asked<T> {
  const [found, setFound] = useState<{ path: string; answer: T | null; error: Error | null } | null>(null)

  const load = useCallback(
    async (wanted: () => boolean) => {
      if (path === null) return
      try {
        const answer = await ask<T>(path)
        if (wanted()) setFound({ path, answer, error: null })
      } catch (error) {
        if (wanted()) setFound({ path, answer: null, error: error as Error })
      }
    },
    [path],
  )
  useEffect(() => {
    let isWanted = true
    void load(() => isWanted)
    return () => {
      isWanted = false
    }
  }, [load])
  const reload = useCallback(() => load(() => true), [load])
  const own = found?.path === path ? found : null
  return { answer: own?.answer ?? null, error: own?.error ?? null, reload }
}
