import { setImmediate } from 'node:timers/promises'

/** Lets whatever waits have its turn: a pack of hundreds of pages must not hold up the screens. */
export async function breathe(): Promise<void> {
  await setImmediate()
}
