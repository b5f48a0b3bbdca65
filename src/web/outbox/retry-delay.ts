const FIRST_MS = 500
const LONGEST_MS = 15_000

/** How long to wait before the `failed`-th try is followed by another, ms: doubled each time, never over 15 s. */
export function retryDelayMs(failed: number): number {
  return Math.min(LONGEST_MS, FIRST_MS * 2 ** Math.min(Math.max(0, failed - 1), 10))
}
