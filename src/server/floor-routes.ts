import type { IncomingMessage } from 'node:http'
import type { FastifyReply } from 'fastify'
import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { LastmetreError } from '../quantity/errors.ts'
import type { FloorAhead, FloorLines, FloorNews, FloorView, LineSignals } from '../works/floor-api.ts'
import { openEventStream } from './event-stream.ts'
import { floorAhead } from './floor-ahead.ts'
import type { Board, FloorBoard } from './floor-board.ts'
import { floorView } from './floor-view.ts'
import type { LabelDesk } from './label-desk.ts'
import type { LedgerDesk } from './ledger-desk.ts'
import type { RepairDesk } from './repair-desk.ts'
import type { SignalDesk } from './signal-desk.ts'

/** Stations that listen at one time. */
const MAX_LISTENERS = 64
/** Events of one moment are told as one. */
const TELL_AFTER_MS = 20

const lineQuery = z.strictObject({ line: z.string().min(1).max(64) })
const eventsQuery = z.strictObject({ line: z.string().min(1).max(64).optional() })

export interface FloorDesks {
  board: FloorBoard
  ledger: LedgerDesk
  repairs: RepairDesk
  labels: LabelDesk
  signals: Pick<SignalDesk, 'listen' | 'signals'>
}

/** What a station at a line or a cutting bench asks. */
export function floorRoutes(desks: FloorDesks): FastifyPluginAsyncZod {
  const { board, repairs, labels } = desks
  const events = floorEvents(desks)
  const ahead = new WeakMap<Board, Map<string, Promise<FloorAhead>>>()
  const boardOf = async (line: string): Promise<Board> => {
    const found = await board.board()
    if (!floorLines(found).lines.some((l) => l.line === line))
      throw new LastmetreError('not-found', `There is no line or cutting bench ${line}.`)
    return found
  }
  return async (app) => {
    app.get(
      '/api/floor/lines',
      {
        config: { deed: 'look', byItself: true },
        schema: { summary: 'Lines and cutting benches: { lines, planId }' },
      },
      async (): Promise<FloorLines> => floorLines(await board.board()),
    )
    app.get(
      '/api/floor',
      {
        config: { deed: 'look', byItself: true },
        schema: { summary: 'Now and next at one line or cutting bench', querystring: lineQuery },
      },
      async (request): Promise<FloorView> => {
        const { line } = request.query
        // a repair that is said to be done is then in the board that is looked at after it
        const { repair } = repairs
        const found = await boardOf(line)
        const newerPlanId = await board.newerPlanId(found)
        const printer = labels.printerOf(found.now.current, line)
        const doubts = labels.doubts(line)
        return floorView({ ...found, newerPlanId, repair, printer, doubts }, line)
      },
    )
    app.get(
      '/api/floor/ahead',
      {
        config: { deed: 'look', byItself: true },
        schema: {
          summary: 'The next mountings of one line with their cuts, for its station to keep',
          querystring: lineQuery,
        },
      },
      async (request): Promise<FloorAhead> => {
        const { line } = request.query
        const found = await boardOf(line)
        // worked out once for each event, however many ask
        const known = ahead.get(found) ?? new Map<string, Promise<FloorAhead>>()
        ahead.set(found, known)
        const answer = known.get(line) ?? floorAhead(found, line)
        known.set(line, answer)
        return answer
      },
    )
    app.get(
      '/api/floor/events',
      {
        config: { deed: 'look', byItself: true },
        schema: {
          summary:
            'Something changed in the hall, ask again: server-sent events; `signal` events say what the line shows',
          querystring: eventsQuery,
        },
      },
      async (request, reply) => events(request.query.line, request.raw, reply),
    )
  }
}

/** Tells one station what changes, until it leaves; a `line` is told what it shows as well. */
function floorEvents({ board, ledger, repairs, labels, signals }: FloorDesks) {
  let listening = 0
  return async (line: string | undefined, request: IncomingMessage, reply: FastifyReply): Promise<void> => {
    if (listening >= MAX_LISTENERS)
      throw new LastmetreError('too-many', `${MAX_LISTENERS} stations listen already.`)
    const { now } = await board.board()
    listening++
    let news: FloorNews = { seq: now.seq, repair: repairs.repair.state }
    let timer: NodeJS.Timeout | undefined
    const tell = () => {
      timer = undefined
      reply.raw.write(`data: ${JSON.stringify(news)}\n\n`)
    }
    const changed = (change: Partial<FloorNews>) => {
      news = { ...news, ...change }
      timer ??= setTimeout(tell, TELL_AFTER_MS)
    }
    const leave = [
      ledger.listen((events) => changed({ seq: events.at(-1)?.seq ?? news.seq })),
      repairs.listen(({ state }) => changed({ repair: state })),
      labels.listen(() => changed({})),
      signals.listen((shown) => {
        // whoever does not keep up is told the next one
        if (reply.raw.writableNeedDrain || (line !== undefined && shown.line !== line)) return
        reply.raw.write(signalEvent(shown))
      }),
    ]
    openEventStream(request, reply, () => {
      for (const end of leave) end()
      clearTimeout(timer)
      listening--
    })
    tell()
    if (line !== undefined) reply.raw.write(signalEvent(signals.signals(line)))
  }
}

function signalEvent(shown: LineSignals): string {
  return `event: signal\ndata: ${JSON.stringify(shown)}\n\n`
}

function floorLines({ now, released }: Board): FloorLines {
  const { works, state } = now
  const mounted = new Map<string, string>()
  for (const row of state.drums.rows()) if (row.mountedOn !== null) mounted.set(row.mountedOn, row.drum)
  const benches = works.benchHall.benches.filter((b) => b.can.includes('cut'))
  const named = (line: string, bench: boolean) => ({ line, bench, drum: mounted.get(line) ?? null })
  return {
    lines: [...works.site.lines.map((l) => named(l.id, false)), ...benches.map((b) => named(b.id, true))],
    planId: released?.planId ?? null,
  }
}
