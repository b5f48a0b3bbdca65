import type { Command, CommandBody } from '../../ledger/command.ts'
import type { LedgerEvent } from '../../ledger/event.ts'
import { LOCAL_ACCOUNT } from '../../works/access-api.ts'
import type { ErrorAnswer } from '../../works/api.ts'
import type { Maker } from '../access/station-person.ts'
import { tagsOf } from './record-key.ts'

/** A command that is kept on this station until the server has answered it. */
export interface WaitingRecord {
  /** In the order in which they were made; the store gives it. */
  running: number
  command: Command
  /** Who made it, whoever sends it. */
  by: Maker
  /** What a person calls it: "cut 3, 100 m". */
  words: string
  /** How often it was sent without an answer. */
  tries: number
}

/** Numbers to write by hand on the coils of a record that has no answer yet. */
export function tagsOfRecord(record: WaitingRecord): string[] {
  const { body, station } = record.command
  return body.kind === 'cut-pieces' ? tagsOf(station, record.running, body.pieces.length) : []
}

/**
 * Whether a record has to wait until its maker signs in: made without the server under a name that nothing proves.
 * Whoever is not known at all will not come; the server keeps such records for a person.
 */
export function waitsForMaker({ account, pass }: Maker, signedIn: string | null): boolean {
  return pass === null && account !== '' && account !== LOCAL_ACCOUNT && account !== signedIn
}

/** What came of a record: booked, or not. */
export interface AnsweredRecord {
  running: number
  key: string
  body: CommandBody
  words: string
  /** ISO 8601, UTC: when it was made. */
  at: string
  tags: string[]
  /** Serials that it gave, in the order of the tags. */
  serials: string[]
  /** Whether it was answered at the first sending. */
  prompt: boolean
  event: LedgerEvent | null
  refused: ErrorAnswer | null
  /** The server keeps it for a person to settle, under this number. */
  aside: number | null
}

/** Answers worth a person's look: refused, or coils that wait for the label of their serial. */
export function needsLook(answer: AnsweredRecord): boolean {
  return answer.refused !== null || (answer.tags.length > 0 && !answer.prompt)
}
