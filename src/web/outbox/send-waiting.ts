import type { LedgerEvent } from '../../ledger/event.ts'
import type { ErrorAnswer } from '../../works/api.ts'
import type { CommandOutcome, CommandsAnswer, CommandsRequest } from '../../works/floor-api.ts'
import { Refused, ServerGone } from '../api.ts'
import { type AnsweredRecord, tagsOfRecord, type WaitingRecord, waitsForMaker } from './waiting-record.ts'

const MOST_AT_ONCE = 20

export interface SendWaiting {
  /** Oldest first. */
  oldest: (most: number) => Promise<WaitingRecord[]>
  noteTry: (records: WaitingRecord[]) => Promise<void>
  post: (request: CommandsRequest) => Promise<CommandsAnswer>
  settle: (answers: AnsweredRecord[]) => Promise<void>
  /** Account of who stands here now; null: nobody. */
  person: () => string | null
  /** ISO 8601, UTC, by the station's clock. */
  now: () => string
}

export type SendEnd =
  /** Nothing waits any more. */
  | { end: 'empty' }
  /** No answer, or an answer that may be another one later: try again. */
  | { end: 'gone'; message: string }
  /** Somebody has to sign in first. */
  | { end: 'signed-out' }
  /** The maker of the next one has to sign in first. */
  | { end: 'held' }

/**
 * Sends what waits, oldest first, each until it is answered: those that were tried before as late ones. A record is
 * taken out only by an answer that speaks of it, so none is lost; its key makes a second sending harmless.
 */
export async function sendWaiting(io: SendWaiting): Promise<SendEnd> {
  let alone = false
  for (;;) {
    const records = firstAlike(await io.oldest(alone ? 1 : MOST_AT_ONCE))
    const first = records[0]
    if (!first) return { end: 'empty' }
    if (waitsForMaker(first.by, io.person())) return { end: 'held' }
    await io.noteTry(records)
    try {
      const commands = records.map((r) => r.command)
      const { account, pass } = first.by
      const maker = { account, pass, sentAt: io.now() }
      const { outcomes } = await io.post({ commands, late: first.tries > 0, maker })
      if (outcomes.length === 0) return { end: 'gone', message: 'The server answered nothing.' }
      await io.settle(outcomes.slice(0, records.length).map((o, i) => answered(records[i]!, o)))
      alone = false
    } catch (error) {
      if (error instanceof ServerGone) return { end: 'gone', message: error.message }
      if (!(error instanceof Refused)) throw error
      // who is asking is not known; the record itself is not at fault
      if (error.answer.code === 'sign-in-needed') return { end: 'signed-out' }
      if (mayPass(error)) return { end: 'gone', message: error.message }
      // one of them is not understood at all: find it by sending them one by one, so that it stops none of the others
      if (records.length === 1) await io.settle([refusal(first, error.answer, null)])
      else alone = true
    }
  }
}

/** The leading records of one maker that are all tried before, or all new. */
function firstAlike(records: WaitingRecord[]): WaitingRecord[] {
  const first = records[0]
  if (!first) return []
  const isLike = ({ tries, by }: WaitingRecord) =>
    tries > 0 === first.tries > 0 && by.account === first.by.account && by.pass === first.by.pass
  const end = records.findIndex((r) => !isLike(r))
  return end < 0 ? records : records.slice(0, end)
}

/** A full disk or a stopped store is mended by somebody; the record stays as it is. */
function mayPass(error: Refused): boolean {
  return error.status >= 500 || error.status === 408 || error.status === 429
}

function answered(record: WaitingRecord, outcome: CommandOutcome): AnsweredRecord {
  if ('refused' in outcome) return refusal(record, outcome.refused, outcome.aside)
  return { ...heading(record), serials: serialsOf(outcome.event), event: outcome.event }
}

function refusal(record: WaitingRecord, refused: ErrorAnswer, aside: number | null): AnsweredRecord {
  return { ...heading(record), refused, aside }
}

function heading(record: WaitingRecord): AnsweredRecord {
  const { running, command, words, tries } = record
  const tags = tagsOfRecord(record)
  return {
    ...{ running, key: command.key, body: command.body, words, at: command.at, tags, serials: [] },
    ...{ prompt: tries === 0, event: null, refused: null, aside: null },
  }
}

function serialsOf({ body }: LedgerEvent): string[] {
  return body.kind === 'pieces-cut' ? body.pieces.map((p) => p.serial) : []
}
