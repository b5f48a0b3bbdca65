import { useSyncExternalStore } from 'react'

/** What was typed or chosen on the bench: going to another place and back loses nothing. Gone with the page. */
const kept = new Map<string, unknown>()
const changed = new EventTarget()

function subscribe(listener: () => void): () => void {
  changed.addEventListener('change', listener)
  return () => changed.removeEventListener('change', listener)
}

/** As useState, but it outlives the component; `initial` must be the same object each time. */
export function useKept<T>(key: string, initial: T): [T, (value: T) => void] {
  const value = useSyncExternalStore(subscribe, () => (kept.has(key) ? (kept.get(key) as T) : initial))
  return [
    value,
    (next) => {
      kept.set(key, next)
      changed.dispatchEvent(new Event('change'))
    },
  ]
}
