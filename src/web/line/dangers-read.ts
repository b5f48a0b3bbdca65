import { worksDate } from '../works-clock.ts'

/** When each person read the dangers at this station, kept by the browser: another one reads them for himself. */

const KEPT = 'lastmetre.dangers-read'
/** A shift: over midnight what was read in it still holds. */
const SHIFT_MS = 8 * 3_600_000
/** Of a damaged or strangely grown note nothing is taken. */
const MOST_TEXT = 20_000

/** Milliseconds of the clock by account. */
type ReadAt = Record<string, number>

/** When this person read them, of this shift or this day; null: to be read. */
export function readAtMs(text: string | null, account: string, nowMs: number): number | null {
  return stillRead(text, nowMs)[account] ?? null
}

/** What is to be kept once this person has read them: with those of others who came today. */
export function withRead(text: string | null, account: string, nowMs: number): string {
  return JSON.stringify({ ...stillRead(text, nowMs), [account]: nowMs })
}

function stillRead(text: string | null, nowMs: number): ReadAt {
  const today = dayOf(nowMs)
  return Object.fromEntries(
    Object.entries(parsed(text)).filter(
      ([, at]) => at <= nowMs && (nowMs - at < SHIFT_MS || dayOf(at) === today),
    ),
  )
}

function parsed(text: string | null): ReadAt {
  if (text === null || text.length > MOST_TEXT) return {}
  try {
    const kept: unknown = JSON.parse(text)
    if (typeof kept !== 'object' || kept === null) return {}
    return Object.fromEntries(
      Object.entries(kept).filter((entry): entry is [string, number] => Number.isFinite(entry[1])),
    )
  } catch {
    return {}
  }
}

function dayOf(ms: number): string {
  return worksDate(new Date(ms).toISOString())
}

/** What this browser keeps; null where it keeps nothing. */
export function keptRead(): string | null {
  try {
    return window.localStorage.getItem(KEPT)
  } catch {
    return null
  }
}

export function keepRead(text: string): void {
  try {
    window.localStorage.setItem(KEPT, text)
  } catch {
    // a browser that keeps nothing asks again when it is loaded
  }
}
