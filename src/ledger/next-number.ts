import type { LedgerContext } from './context.ts'
import { numbered, readSerial, runningNumber, serialOf, serialsOfYear } from './serial.ts'
import type { LedgerState } from './state.ts'

/** What the ledger numbers beside serials, by the prefix of the number. */
const PREFIXES = { fault: 'F', check: 'CK', complaint: 'CP', remnant: 'R' } as const

export type Numbered = keyof typeof PREFIXES

/** The next number, or the one after `ahead` others of the same event. */
export function nextNumber(state: LedgerState, what: Numbered, ahead = 0): string {
  return numbered(PREFIXES[what], (state.head.given[what] ?? 0) + 1 + ahead)
}

/** The next serial of the works' year, or the one after `ahead` others of the same event. */
export function nextSerial(state: LedgerState, { today }: LedgerContext, ahead = 0): string {
  const year = today.slice(2, 4)
  return serialOf(year, (state.head.given[serialsOfYear(year)] ?? 0) + 1 + ahead)
}

/** Remembers the greatest running number so far; a name of another kind is none. */
export function tookNumber(state: LedgerState, what: Numbered, name: string): void {
  const running = runningNumber(PREFIXES[what], name)
  if (running !== null) raise(state, what, running)
}

/** As tookNumber; a piece from before the ledger may bear a number of another kind. */
export function tookSerial(state: LedgerState, name: string): void {
  const serial = readSerial(name)
  if (serial) raise(state, serialsOfYear(serial.year), serial.running)
}

function raise(state: LedgerState, key: string, running: number): void {
  if (running <= (state.head.given[key] ?? 0)) return
  state.head = { ...state.head, given: { ...state.head.given, [key]: running } }
}
