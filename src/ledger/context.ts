import type { PlanInput } from '../plan/plan-input.ts'

/** What deciding needs beside the state and the command. */
export interface LedgerContext {
  works: PlanInput
  /** The works' day, YYYY-MM-DD: the year of a serial, the date of a fault. */
  today: string
  /** ISO 8601, UTC, by the server's clock. */
  bookedAt: string
}
