const FIRST_WAIT_MS = 250
const LONGEST_WAIT_MS = 15_000

/** How long to wait before try `n` (0, 1, ...) to connect again: doubled each time, never longer than a quarter of a minute. */
export function backoffMs(tries: number): number {
  return Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** Math.min(tries, 16))
}
