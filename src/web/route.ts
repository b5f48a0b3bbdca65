import { useSyncExternalStore } from 'react'

/** The places that exist so far, in the order of the top line. */
export const PLACES = [
  { path: '/orders', word: 'Orders' },
  { path: '/stock', word: 'Stock' },
  { path: '/plan', word: 'Plan' },
  { path: '/line', word: 'Line' },
  { path: '/bench', word: 'Bench' },
  { path: '/records', word: 'Records' },
  { path: '/our-works', word: 'Our works' },
] as const

export type PlacePath = (typeof PLACES)[number]['path']

const changed = new EventTarget()

function subscribe(listener: () => void): () => void {
  changed.addEventListener('change', listener)
  window.addEventListener('popstate', listener)
  return () => {
    changed.removeEventListener('change', listener)
    window.removeEventListener('popstate', listener)
  }
}

/** The place that the address names; the plan where it names none. */
export function placeOf(pathname: string): PlacePath {
  return PLACES.find((place) => place.path === pathname)?.path ?? '/plan'
}

export function go(path: PlacePath): void {
  if (window.location.pathname !== path) window.history.pushState(null, '', path)
  changed.dispatchEvent(new Event('change'))
}

function subscribeHash(listener: () => void): () => void {
  window.addEventListener('hashchange', listener)
  return () => window.removeEventListener('hashchange', listener)
}

/** What the address has behind its #, with the #: the question of a place, and what is asked. Empty where it has nothing. */
export function useHash(): string {
  return useSyncExternalStore(subscribeHash, () => window.location.hash)
}

export function usePlace(): PlacePath {
  return useSyncExternalStore(subscribe, () => placeOf(window.location.pathname))
}
