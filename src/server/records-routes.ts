import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import { LastmetreError } from '../quantity/errors.ts'
import type { Store } from '../store/dialect.ts'
import { complaintRows, piecesOf } from '../store/record-queries.ts'
import { recallCsv } from '../works/recall-csv.ts'
import type {
  BalanceAnswer,
  ComplaintsAnswer,
  DueAnswer,
  FollowAnswer,
  RecallAnswer,
  RecallQuery,
  YieldAnswer,
} from '../works/records-api.ts'
import { inWorker } from './in-worker.ts'
import { balanceOf, yieldOf } from './record-balance.ts'
import { dueOf } from './record-due.ts'
import { followOf } from './record-follow.ts'
import { recallOf } from './record-recall.ts'
import { complaintPaperOf } from './record-trace.ts'
import { fitAhead, keptRecords, type RecordWorks, recordWorks } from './record-works.ts'
import { StockMovements } from './stock-movements.ts'
import type { WorksDesk } from './works-desk.ts'

const anId = z.string().min(1).max(64)
const place = z.coerce.number().min(-1e6).max(1e6)
const aDay = z.iso.date()
const recallQuery = z.strictObject({
  strip: anId.exactOptional(),
  from: place.exactOptional().describe('Metres on the strip, or marks where unit=mark'),
  to: place.exactOptional(),
  unit: z.enum(['m', 'mark']).exactOptional(),
  unc: z.coerce.number().min(0).max(1e5).exactOptional().describe('How far either end may be off, m'),
  lot: anId.exactOptional(),
  check: anId.exactOptional(),
  tool: anId.exactOptional(),
  fault: anId.exactOptional(),
  since: z.union([z.iso.date(), z.iso.datetime()]).exactOptional(),
}) satisfies z.ZodType<RecallQuery>
const balanceQuery = z.strictObject({
  month: z
    .string()
    .regex(/^\d{4}-(0[1-9]|1[0-2])$/)
    .exactOptional(),
  from: aDay.exactOptional(),
  to: aDay.exactOptional(),
})
/** A server first answers whoever waits for it to be there. */
const FIT_AFTER_MS = 1_000
const LOOK = { deed: 'look' } as const
const PDF_LIMITS = {
  ...{ maxMs: 30_000, maxHeapMb: 256 },
  exceeded: new LastmetreError('unexpected', 'The page could not be drawn.'),
}

/** Following pieces forwards and backwards, balance, what is due, complaints: everything that is read from the records. */
export function recordsRoutes(db: Store, works: WorksDesk): FastifyPluginAsyncZod {
  const kept = keptRecords(db)
  const movements = new StockMovements(db)
  const now = () => recordWorks(db, works.current(), kept, new Date().toISOString())
  return async (app) => {
    let timer: NodeJS.Timeout | undefined
    app.addHook('onReady', async () => {
      timer = setTimeout(() => {
        // what cannot be fitted ahead is fitted when it is asked for
        if (works.isOpen()) void fitAhead(now()).catch(() => undefined)
      }, FIT_AFTER_MS).unref()
    })
    app.addHook('onClose', async () => clearTimeout(timer))
    followRoutes(app, now)
    app.get(
      '/api/records/balance',
      {
        config: LOOK,
        schema: {
          summary: 'Metres in and out of each cable type in a month, or from a day to another',
          querystring: balanceQuery,
        },
      },
      async ({ query }): Promise<BalanceAnswer> => balanceOf(now(), movements, query),
    )
    app.get(
      '/api/records/yield',
      { config: LOOK, schema: { summary: 'Yield and what was lost by cause, in money, by month' } },
      async (): Promise<YieldAnswer> => yieldOf(now(), movements),
    )
    app.get(
      '/api/records/due',
      { config: LOOK, schema: { summary: 'Everything that must be checked, what is overdue first' } },
      async (): Promise<DueAnswer> => dueOf(now()),
    )
    app.get(
      '/api/records/complaints',
      { config: LOOK, schema: { summary: 'Complaints, newest first' } },
      async (): Promise<ComplaintsAnswer> => complaintsOf(db),
    )
    app.get(
      '/api/records/pieces/:serial/page.pdf',
      {
        config: LOOK,
        schema: { summary: 'Everything known of a piece on paper', params: z.object({ serial: anId }) },
      },
      async ({ params }, reply) => {
        const paper = await complaintPaperOf(now(), params.serial)
        const pdf = await inWorker<Uint8Array>('complaint-worker', paper, PDF_LIMITS)
        return reply
          .header('content-type', 'application/pdf')
          .header('content-disposition', 'attachment; filename="piece.pdf"')
          .send(Buffer.from(pdf))
      },
    )
  }
}

type App = Parameters<FastifyPluginAsyncZod>[0]

/** What is known of one thing, and what something bad touches. */
function followRoutes(app: App, now: () => RecordWorks): void {
  app.get(
    '/api/records/follow',
    {
      config: LOOK,
      schema: {
        summary: 'Everything known of a serial, or of the strip, drum, lot or fault that is named',
        querystring: z.strictObject({ id: anId }),
      },
    },
    async ({ query }): Promise<FollowAnswer> => followOf(now(), query.id),
  )
  app.get(
    '/api/records/recall',
    {
      config: LOOK,
      schema: {
        summary: 'Every piece that something bad touches, and where it is',
        querystring: recallQuery,
      },
    },
    async ({ query }): Promise<RecallAnswer> => recallOf(now(), query),
  )
  app.get(
    '/api/records/recall.csv',
    { config: LOOK, schema: { summary: 'The same list as a file', querystring: recallQuery } },
    async ({ query }, reply) => {
      const { recall } = await recallOf(now(), query)
      return reply
        .header('content-type', 'text/csv; charset=utf-8')
        .header('content-disposition', 'attachment; filename="recall.csv"')
        .send(recallCsv(recall))
    },
  )
}

async function complaintsOf(db: Store): Promise<ComplaintsAnswer> {
  const found = await complaintRows(db)
  const serials = found.map(({ serial }) => serial)
  const pieces = new Map((await piecesOf(db, serials)).map((piece) => [piece.serial, piece]))
  return {
    complaints: found.flatMap((row) => {
      const piece = pieces.get(row.serial)
      return piece
        ? [{ ...row, cable: piece.cable, declaredText: piece.declaredText, where: piece.where }]
        : []
    }),
  }
}
