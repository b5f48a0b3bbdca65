import { createHash } from 'node:crypto'

/**
 * What a station keeps with each record of a session: it proves whose session that was, and opens nothing. Made of the
 * session's id so that the same session always has the same one; the id cannot be had from it.
 */
export function passOfSession(id: string): string {
  return createHash('sha256').update(`lastmetre record pass ${id}`).digest('base64url')
}

/** As it is stored: who reads the database cannot show one. */
export function passHash(pass: string): string {
  return createHash('sha256').update(pass).digest('hex')
}
