import { useSyncExternalStore } from 'react'
import { Outbox, type OutboxState } from './outbox.ts'

let one: Outbox | null = null

/** The one outbox of this page; begins to send what waits when it is first asked for. */
export function outbox(): Outbox {
  one ??= new Outbox()
  return one
}

export function useOutbox(): OutboxState {
  return useSyncExternalStore(outbox().subscribe, () => outbox().state)
}
