import { LastmetreError } from '../quantity/errors.ts'

/** Codes of PostgreSQL for a server that has no room or is going away (its appendix A, classes 53, 57 and 58). */
const POSTGRES_STATE = /^(53|57|58|08)[0-9A-Z]{3}$/

/** What a database failed with, in words; any other error as it is. Nothing was written then. */
export function storeFailure(error: unknown): unknown {
  if (error instanceof LastmetreError || !(error instanceof Error)) return error
  const { code = '', message } = error as { code?: string; message: string }
  if (code === 'SQLITE_FULL' || code === '53100' || /no space left|disk is full/i.test(message)) {
    return new LastmetreError('store-failed', 'The disk of the database is full; nothing was booked.')
  }
  if (code.startsWith('SQLITE_') || POSTGRES_STATE.test(code) || /^E[A-Z]+$/.test(code)) {
    return new LastmetreError('store-failed', `The database refused it: ${message}. Nothing was booked.`)
  }
  return error
}
