import { createHash } from 'node:crypto'
import { applyEvent } from '../ledger/apply.ts'
import type { Command } from '../ledger/command.ts'
import type { LedgerContext } from '../ledger/context.ts'
import { correctedSeq, decide } from '../ledger/decide.ts'
import type { EventBody, LedgerEvent } from '../ledger/event.ts'
import { canonical, eventText } from '../ledger/event-text.ts'
import type { LedgerState } from '../ledger/state.ts'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import type { Store } from './dialect.ts'
import { readInParts } from './in-parts.ts'
import { loadNamed } from './ledger-load.ts'
import { eventOf, eventRow, headOf } from './ledger-rows.ts'
import { type NewEvent, writeState } from './ledger-write.ts'
import type { LedgerEventRow, Tables } from './tables.ts'

/** A command and the account that it is booked for. */
export interface BookedCommand {
  command: Command
  actor: string
  /** Account of who sent it, where it is another than the actor. */
  sentBy?: string | null
}

export type Outcome =
  /** `repeated`: was booked before under the same key. */
  { event: LedgerEvent; repeated: boolean } | { refused: { code: ErrorCode; message: string } }

/**
 * Books commands in order in one transaction: each becomes an event or is refused, and a refused one changes nothing
 * and hinders no other. What is answered is on disk. Throws where the database fails: then nothing of it was booked.
 * The row of the ledger's head is locked first, so that several processes take turns.
 */
export async function appendCommands(
  db: Store,
  booked: readonly BookedCommand[],
  context: LedgerContext,
): Promise<Outcome[]> {
  if (booked.length === 0) return []
  return db.transaction().execute((trx) => appendWithin(trx, booked, context))
}

/** As appendCommands, within a transaction of the caller. */
export async function appendWithin(
  trx: Store,
  booked: readonly BookedCommand[],
  context: LedgerContext,
): Promise<Outcome[]> {
  const head = await lockHead(trx)
  const before = await eventRowsOf(trx, new Set(booked.map(({ command }) => command.key)))
  const known = new Map(before.map((row) => [row.key, row]))
  const fresh = booked.filter(({ command }) => !known.has(command.key))
  const part = await loadNamed(
    trx,
    fresh.map(({ command }) => command),
  )
  part.state.head = headOf(head)
  const events: NewEvent[] = []
  const outcomes = booked.map(({ command, actor, sentBy = null }): Outcome => {
    const commandHash = sha256(canonical(command))
    const booking = known.get(command.key)
    if (booking !== undefined) return repeatOf(booking, command, commandHash)
    const outcome = bookOne(part.state, command, { actor, sentBy }, context)
    if ('event' in outcome) {
      const row = eventRow(outcome.event, commandHash)
      events.push({ event: outcome.event, row })
      known.set(command.key, row)
    }
    return outcome
  })
  if (events.length > 0) await writeState(trx, part, events)
  return outcomes
}

/** The head, held against other processes until the transaction ends. */
export function lockHead(trx: Store): Promise<Tables['ledger_head']> {
  return trx
    .updateTable('ledger_head')
    .set((eb) => ({ seq: eb.ref('seq') }))
    .where('id', '=', 1)
    .returningAll()
    .executeTakeFirstOrThrow()
}

/** The events that were booked under these keys, as they are stored. */
export function eventRowsOf(db: Store, keys: ReadonlySet<string>): Promise<LedgerEventRow[]> {
  return readInParts(keys, (part) =>
    db.selectFrom('ledger_event').selectAll().where('key', 'in', part).execute(),
  )
}

function repeatOf(before: LedgerEventRow, command: Command, commandHash: string): Outcome {
  if (before.command_hash === commandHash) return { event: eventOf(before), repeated: true }
  const message = `The key ${command.key} stands for another record, booked as event ${before.seq}.`
  return { refused: { code: 'key-reused', message } }
}

/** Decides and applies one command to the state in memory. */
export function bookOne(
  state: LedgerState,
  command: Command,
  { actor, sentBy = null }: Omit<BookedCommand, 'command'>,
  context: LedgerContext,
): Outcome {
  let body: EventBody
  try {
    body = decide(state, command, context)
  } catch (error) {
    if (!(error instanceof LastmetreError)) throw error
    return { refused: { code: error.code, message: error.message } }
  }
  const open = {
    seq: state.head.seq + 1,
    key: command.key,
    at: command.at,
    bookedAt: context.bookedAt,
    actor,
    ...(sentBy === null || sentBy === actor ? {} : { sentBy }),
    station: command.station,
    planId: command.planId,
    corrects: correctedSeq(state, command),
    // As it will be read again: what is hashed is what is stored.
    body: JSON.parse(JSON.stringify(body)) as EventBody,
    previousHash: state.head.hash,
  }
  const event: LedgerEvent = { ...open, hash: sha256(eventText(open)) }
  applyEvent(state, event)
  return { event, repeated: false }
}

export function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}
