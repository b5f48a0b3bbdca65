import { planWarnings } from '../dispatch/plan-warnings.ts'
import { isDueToday } from '../order/due-today.ts'
import type { Plan, Unserved } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { mFromUm } from '../quantity/length.ts'
import { eurFromMicro, type MicroEur } from '../quantity/money.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { type Cell, writeCsv } from './csv-write.ts'

/** The files of a plan: plan.json, plan.csv and unserved.csv. Columns in docs/plan-files.md. */

/** plan.json: metres exact to the micrometre, euro rounded once to cents; a bound is rounded down, so that it stays proven. */
export function planFile(plan: Plan, input: PlanInput): object {
  const dueOf = dueDates(input)
  return {
    format: 'lastmetre-plan',
    version: 1,
    works: plan.works,
    mountings: plan.mountings.map((mounting, i) => ({
      mountingNumber: i + 1,
      when: whenOf(mounting, dueOf, input.site.works.todayDate),
      drum: mounting.drum,
      line: mounting.line,
      intervals: mounting.intervals.map(intervalFile),
    })),
    service: { unservedEur: eurFromMicro(plan.unservedMicro) },
    costEur: eurFromMicro(plan.costMicro),
    costItems: Object.fromEntries(
      Object.entries(plan.costItems).map(([item, micro]) => [item, eurFromMicro(micro)]),
    ),
    bound: {
      unservedEur: eurDown(plan.bound.unservedMicro),
      ...(isProven(plan.bound.costMicro) ? { costEur: eurDown(plan.bound.costMicro) } : {}),
    },
    seed: plan.seed,
    work: plan.work,
    stopped: plan.stopped,
    unserved: plan.unserved.map(unservedFile),
    byCable: plan.byCable.map((b) => ({
      cable: b.cable,
      costEur: eurFromMicro(b.costMicro),
      ...(isProven(b.boundMicro) ? { boundEur: eurDown(b.boundMicro) } : {}),
      deliveredEur: eurFromMicro(b.deliveredMicro),
    })),
    warnings: planWarnings(input, plan),
  }
}

/** A plan that was stopped early may have no bound on its cost yet: minus infinity, which JSON keeps as null. */
function isProven(micro: MicroEur | null): micro is MicroEur {
  return Number.isFinite(micro)
}

function eurDown(micro: MicroEur): number {
  return Math.floor(micro / 10_000) / 100
}

function intervalFile(interval: Interval): object {
  const place = { fromM: mFromUm(interval.fromUm), toM: mFromUm(interval.toUm), use: interval.use }
  if (interval.use === 'end') return place
  if (interval.use === 'scrap') return { ...place, cause: interval.cause }
  if (interval.use === 'remnant') return interval.putup === null ? place : { ...place, putup: interval.putup }
  const { order, orderLine, piece, part, count, declaredUm, putup } = interval
  return {
    ...place,
    order,
    orderLine,
    piece,
    part,
    count,
    declaredM: mFromUm(declaredUm),
    ...(putup === null ? {} : { putup }),
  }
}

function unservedFile({ order, orderLine, pieces, reason, offer }: Unserved): object {
  return {
    order,
    orderLine,
    pieces,
    reason,
    ...(offer ? { offer: { lengthM: mFromUm(offer.lengthUm), drum: offer.drum, lot: offer.lot } } : {}),
  }
}

const lineKey = (order: string, line: number) => `${order}/${line}`

function dueDates(input: PlanInput): Map<string, string> {
  return new Map(input.orders.map((o) => [lineKey(o.order, o.line), o.dueDate]))
}

function whenOf(mounting: Mounting, dueOf: Map<string, string>, today: string): 'today' | 'later' {
  for (const interval of mounting.intervals) {
    if (interval.use !== 'piece') continue
    const due = dueOf.get(lineKey(interval.order, interval.orderLine))
    if (due !== undefined && isDueToday(due, today)) return 'today'
  }
  return 'later'
}

const PLAN_HEADER = [
  'mounting',
  'when',
  'line',
  'drum',
  'cable',
  'lot',
  'location',
  'cut',
  'use',
  'from_m',
  'to_m',
  'length_m',
  'order',
  'order_line',
  'customer',
  'due_date',
  'piece',
  'part',
  'count',
  'declared_m',
  'putup',
  'cause',
] as const

/** plan.csv: one row for each interval, in the order in which it is cut. */
export function planCsv(plan: Plan, input: PlanInput): string {
  const drums = new Map(input.drums.map((d) => [d.drum, d]))
  const orders = new Map(input.orders.map((o) => [lineKey(o.order, o.line), o]))
  const dueOf = dueDates(input)
  const rows: Cell[][] = []
  for (const [i, mounting] of plan.mountings.entries()) {
    const drum = drums.get(mounting.drum)
    const when = whenOf(mounting, dueOf, input.site.works.todayDate)
    const where = [drum?.cable ?? null, drum?.lot ?? null, drum?.location ?? null]
    for (const [j, interval] of mounting.intervals.entries()) {
      const { fromUm, toUm, use } = interval
      const place = [j + 1, use, mFromUm(fromUm), mFromUm(toUm), mFromUm(toUm - fromUm)]
      const order = use === 'piece' ? orders.get(lineKey(interval.order, interval.orderLine)) : undefined
      const what =
        use === 'piece'
          ? [
              interval.order,
              interval.orderLine,
              order?.customer ?? null,
              order?.dueDate ?? null,
              interval.piece,
            ].concat([interval.part, interval.count, mFromUm(interval.declaredUm)])
          : [null, null, null, null, null, null, null, null]
      const putup = use === 'piece' || use === 'remnant' ? interval.putup : null
      const cause = use === 'scrap' ? interval.cause : null
      rows.push([i + 1, when, mounting.line, mounting.drum, ...where, ...place, ...what, putup, cause])
    }
  }
  return writeCsv(PLAN_HEADER, rows)
}

const UNSERVED_HEADER = [
  'order',
  'order_line',
  'customer',
  'cable',
  'length',
  'unit',
  'pieces_ordered',
  'pieces_unserved',
  'due_date',
  'reason',
  'offer_m',
  'offer_drum',
  'offer_lot',
] as const

/** unserved.csv: one row for each order line that is not, or not wholly, served. */
export function unservedCsv(plan: Plan, input: PlanInput): string {
  const orders = new Map(input.orders.map((o) => [lineKey(o.order, o.line), o]))
  const rows = plan.unserved.map(({ order, orderLine, pieces, reason, offer }): Cell[] => {
    const line = orders.get(lineKey(order, orderLine))
    const offered = offer ? [mFromUm(offer.lengthUm), offer.drum, offer.lot] : [null, null, null]
    const length = line ? [line.lengthTyped, line.unit, line.qty] : [null, null, null]
    return [order, orderLine, line?.customer ?? null, line?.cable ?? null, ...length, pieces]
      .concat([line?.dueDate ?? null, reason])
      .concat(offered)
  })
  return writeCsv(UNSERVED_HEADER, rows)
}
