import type { FastifyRequest } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { Command } from '../ledger/command.ts'
import type { LedgerEvent } from '../ledger/event.ts'
import { ERRORS, type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { eventsByKey, openAsides } from '../store/floor-queries.ts'
import { eventsAfter, MAX_EVENTS_READ } from '../store/ledger-state.ts'
import type { ErrorAnswer } from '../works/api.ts'
import { commandsRequest } from '../works/command-schema.ts'
import type { AsidesAnswer, CommandOutcome, CommandsAnswer, EventsAnswer } from '../works/floor-api.ts'
import { actorOf, needCommand } from './access.ts'
import { type LateMaker, lateMaker } from './late-maker.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import { originsOfPlan } from './released-plan.ts'
import type { SessionsDesk } from './sessions-desk.ts'

/** An outbox after a shift without the network. */
const BODY_LIMIT_BYTES = 4 * 1024 * 1024
const MAX_ASIDES = 500
/** What a record that came late is set aside for before it is even tried. */
const BARS: ReadonlySet<ErrorCode> = new Set(['not-allowed', 'maker-unproven'])

const eventsQuery = z.strictObject({
  after: z.coerce.number().int().min(0).max(Number.MAX_SAFE_INTEGER).default(0),
  limit: z.coerce.number().int().min(1).max(MAX_EVENTS_READ).default(MAX_EVENTS_READ),
})

/** Booking what happens, and reading what happened. */
export function ledgerRoutes(db: Store, ledger: LedgerDesk, sessions: SessionsDesk): FastifyPluginAsyncZod {
  return async (app) => {
    app.post(
      '/api/ledger/commands',
      {
        bodyLimit: BODY_LIMIT_BYTES,
        config: { deed: 'by command' },
        schema: {
          summary:
            'Books commands in order: { outcomes } with an event or a refusal each. The same key again changes nothing. ' +
            'With `late` a refusal is kept for a person to settle; `maker` names another than the sender, and needs their pass.',
          body: commandsRequest,
        },
      },
      async (request): Promise<CommandsAnswer> => {
        const { late, maker } = request.body
        const commands = await Promise.all(request.body.commands.map((c) => withOrigins(db, c)))
        const by = await lateMaker(request, maker, sessions, Date.now())
        const outcomes =
          late || by.isOther
            ? await bookLate(db, ledger, commands, by)
            : await bookNow(ledger, commands, request)
        return { outcomes }
      },
    )
    app.get(
      '/api/ledger/events',
      {
        config: { deed: 'look' },
        schema: { summary: 'What happened, oldest first: { events, next }', querystring: eventsQuery },
      },
      async (request): Promise<EventsAnswer> => {
        const { after, limit } = request.query
        const events = await eventsAfter(db, after, limit)
        return { events, next: events.length === limit ? (events.at(-1)?.seq ?? null) : null }
      },
    )
    app.get(
      '/api/ledger/asides',
      { config: { deed: 'look' }, schema: { summary: 'Records that wait for a person, oldest first' } },
      async (): Promise<AsidesAnswer> => ({ asides: await openAsides(db, MAX_ASIDES) }),
    )
  }
}

/** A station names the plan; where its places lie on the strips the server knows. */
async function withOrigins(db: Store, command: Command): Promise<Command> {
  const { body } = command
  if (body.kind !== 'release-plan' || body.origins.length > 0) return command
  return { ...command, body: { ...body, origins: await originsOfPlan(db, body.planId) } }
}

async function bookNow(
  ledger: LedgerDesk,
  commands: readonly Command[],
  request: FastifyRequest,
): Promise<CommandOutcome[]> {
  for (const { body } of commands) needCommand(request, body.kind)
  const outcomes = await ledger.book(commands, actorOf(request))
  return outcomes.map((o) => ('event' in o ? o : { refused: refusal(o.refused), aside: null }))
}

/**
 * Records sent after the time. What was set aside or booked before stays so when it is sent again, since its answer may have
 * been lost; what its maker may not do, or may not have made, is set aside like anything else that cannot be booked.
 */
async function bookLate(
  db: Store,
  ledger: LedgerDesk,
  commands: readonly Command[],
  maker: LateMaker,
): Promise<CommandOutcome[]> {
  const { actor, sentBy } = maker
  const keys = commands.map((c) => c.key)
  const before = await eventsByKey(db, new Set([...keys, ...keys.map(asideKey)]))
  const outcomes = new Map<number, CommandOutcome>()
  const open: { at: number; command: Command }[] = []
  for (const [at, command] of commands.entries()) {
    const aside = before.get(asideKey(command.key))
    const barred = aside || before.has(command.key) ? null : whyBarred(maker, command)
    if (aside) outcomes.set(at, asideOutcome(aside))
    else if (barred) outcomes.set(at, await setAside(ledger, command, barred, maker))
    else open.push({ at, command })
  }
  const booked = await ledger.book(
    open.map((o) => o.command),
    actor,
    sentBy,
  )
  for (const [n, outcome] of booked.entries()) {
    const { at, command } = open[n]!
    const kept =
      'event' in outcome ? outcome : await setAside(ledger, command, refusal(outcome.refused), maker)
    outcomes.set(at, kept)
  }
  return commands.map((_, at) => outcomes.get(at)!)
}

function whyBarred(maker: LateMaker, command: Command): ErrorAnswer | null {
  try {
    maker.check(command)
    return null
  } catch (error) {
    if (error instanceof LastmetreError && BARS.has(error.code)) return refusal(error)
    throw error
  }
}

async function setAside(
  ledger: LedgerDesk,
  command: Command,
  refused: ErrorAnswer,
  { actor, sentBy }: LateMaker,
): Promise<CommandOutcome> {
  const { key, at, station, planId } = command
  // whom nothing proves is named in the words only
  const by =
    refused.code === 'maker-unproven' ? ([sentBy ?? actor, null] as const) : ([actor, sentBy] as const)
  const [outcome] = await ledger.book(
    [
      {
        ...{ key: asideKey(key), at, station, planId, corrects: null },
        body: {
          kind: 'set-record-aside',
          commandKind: command.body.kind,
          commandText: JSON.stringify(command),
          why: refused.message,
        },
      },
    ],
    ...by,
  )
  if (!outcome || !('event' in outcome))
    throw new LastmetreError('unexpected', 'A refused record could not be kept.')
  return { refused, aside: outcome.event.seq }
}

function asideOutcome({ seq, body }: LedgerEvent): CommandOutcome {
  const message = body.kind === 'record-set-aside' ? body.why : ''
  return { refused: refusal({ code: 'command-refused', message }), aside: seq }
}

function asideKey(key: string): string {
  return `aside.${key}`
}

function refusal({ code, message }: { code: ErrorCode; message: string }): ErrorAnswer {
  return { code, message, todo: ERRORS[code].todo }
}
