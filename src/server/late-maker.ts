import type { FastifyRequest } from 'fastify'
import type { Command } from '../ledger/command.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { RecordMaker } from '../works/floor-api.ts'
import { actorOf, mayBook, needCommand } from './access.ts'
import type { HeldSession, SessionsDesk } from './sessions-desk.ts'

/** Clocks that were set while records waited, and the way through the network. */
const CLOCK_SLACK_MS = 2 * 60_000

/** Whose records these are. */
export interface LateMaker {
  actor: string
  /** Null where the maker sends them. */
  sentBy: string | null
  /** Another than the sender is named. */
  isOther: boolean
  /** Throws 'not-allowed' where the maker may not have it booked, 'maker-unproven' where it is not sure that it is theirs. */
  check(command: Command): void
}

/**
 * Who is to be written down for records that come late. Whoever sends them is known by the session; another maker is
 * believed only with the pass of a session of theirs, for what was made before it ended. Never throws for a wrong claim.
 */
export async function lateMaker(
  request: FastifyRequest,
  maker: RecordMaker | undefined,
  sessions: Pick<SessionsDesk, 'held'>,
  nowMs: number,
): Promise<LateMaker> {
  const sender = actorOf(request)
  const own: LateMaker = {
    actor: sender,
    sentBy: null,
    isOther: false,
    check: ({ body }) => needCommand(request, body.kind),
  }
  // before there are accounts nobody was signed in anywhere
  if (maker === undefined || maker.account === sender || !request.me.accounts) return own
  const session = maker.pass === null ? null : await sessions.held(maker.pass)
  if (session === null || session.account !== maker.account) {
    const whose = maker.account === '' ? 'nobody' : `“${maker.account.slice(0, 32)}”`
    return refusing(
      own,
      `It was made under the name of ${whose}, whose sign-in at that station is not proven.`,
    )
  }
  const aheadMs = Date.parse(maker.sentAt) - nowMs
  return {
    actor: session.account,
    sentBy: sender,
    isOther: true,
    check(command) {
      mayBook(session.role, command.body.kind)
      if (!isWithin(session, Date.parse(command.at) - aheadMs)) throw unproven(outside(session))
    },
  }
}

function isWithin({ fromMs, toMs }: HeldSession, atMs: number): boolean {
  return atMs >= fromMs - CLOCK_SLACK_MS && atMs <= toMs + CLOCK_SLACK_MS
}

function outside({ account, fromMs, toMs }: HeldSession): string {
  const [from, to] = [fromMs, toMs].map((ms) => `${new Date(ms).toISOString().slice(0, 16)}Z`)
  return `It was made under the name of ${account}, who was signed in at that station from ${from} to ${to} only.`
}

function refusing(own: LateMaker, why: string): LateMaker {
  return {
    ...own,
    isOther: true,
    check() {
      throw unproven(why)
    },
  }
}

function unproven(why: string): LastmetreError {
  return new LastmetreError('maker-unproven', why)
}
