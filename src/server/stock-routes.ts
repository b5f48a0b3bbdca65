import type { FastifyPluginAsyncZod } from 'fastify-type-provider-zod'
import { z } from 'zod'
import type { DrumLabel } from '../documents/drum-label.ts'
import { usableNow } from '../ledger/plan-now.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { lengthText } from '../quantity/length-text.ts'
import type { Store } from '../store/dialect.ts'
import { markText } from '../strip/mark-text.ts'
import { isId } from '../works/column.ts'
import type { StockAnswer, TailsAnswer } from '../works/stock-api.ts'
import type { FloorDesk, FloorNow } from './floor-desk.ts'
import { inWorker } from './in-worker.ts'
import type { NewestPlan } from './newest-plan.ts'
import { printedNow } from './plan-papers.ts'
import type { PlanningDesk } from './planning-desk.ts'
import { stockNow } from './stock-now.ts'
import { TailsDesk } from './stock-tails.ts'
import type { WorksDesk } from './works-desk.ts'

const LABEL_LIMITS = { maxMs: 20_000, maxHeapMb: 256 }

/** Store and shelf: what lies there, labels of drums, standard coils out of tails. */
export function stockRoutes(
  db: Store,
  works: WorksDesk,
  planning: PlanningDesk,
  newest: NewestPlan,
  floor: FloorDesk,
): FastifyPluginAsyncZod {
  const tails = new TailsDesk({ db, works, planning, newest, floor })
  return async (app) => {
    app.get(
      '/api/stock',
      {
        config: { deed: 'look' },
        schema: { summary: 'Drums, finished pieces, lots and levels as they are now' },
      },
      async (): Promise<StockAnswer> => stockNow(db, await floor.now()),
    )
    app.get(
      '/api/stock/drums/:drum/label.pdf',
      {
        config: { deed: 'look' },
        schema: { summary: 'The label of a drum', params: z.object({ drum: z.string().refine(isId) }) },
      },
      async ({ params }, reply) => {
        const label = drumLabel(await floor.now(), params.drum)
        const exceeded = new LastmetreError('unexpected', 'The label could not be drawn.')
        const pdf = await inWorker<Uint8Array>('drum-label-worker', label, { ...LABEL_LIMITS, exceeded })
        return reply
          .header('content-type', 'application/pdf')
          .header('content-disposition', `inline; filename="drum-${params.drum}.pdf"`)
          .send(Buffer.from(pdf))
      },
    )
    app.post(
      '/api/stock/tails',
      {
        config: { deed: 'plan' },
        schema: {
          summary:
            'Standard coils out of what the newest plan leaves over: { proposal, why }; stores nothing',
        },
      },
      async (): Promise<TailsAnswer> => tails.propose(),
    )
    app.post(
      '/api/stock/tails/take',
      {
        config: { deed: 'plan' },
        schema: {
          summary: 'Stores the plan with those coils as the newest: { planId }',
          body: z.strictObject({ token: z.uuid() }),
        },
      },
      async ({ body }) => ({ planId: await tails.take(body.token) }),
    )
  }
}

function drumLabel({ works, current }: FloorNow, id: string): DrumLabel {
  const usable = usableNow(id, works)
  if (!usable) throw new LastmetreError('not-found', `There is no drum ${id} in the store.`)
  const { drum } = usable
  const [outer, inner] = [markText(usable, 0), markText(usable, usable.lengthUm)]
  const faults = usable.zones.length
  return {
    ...{ drum: id, cable: drum.cable, lot: drum.lot },
    length: `${lengthText(usable.lengthUm, 'm', 1)} in the books`,
    marks: outer && inner ? `Marks: outer ${outer}, inner ${inner}` : 'No marks printed',
    faults: faults === 0 ? 'No fault known' : `${faults} ${faults === 1 ? 'fault' : 'faults'} known`,
    place: drum.location ?? 'no place',
    held: drum.status === 'free' ? null : (drum.note ?? drum.status.replace('_', ' ')),
    works: current.works.site.works.name,
    printed: printedNow(current.works),
  }
}
