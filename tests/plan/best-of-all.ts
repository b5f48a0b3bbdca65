import { BENCH_MAX_KG } from '../../src/line/mountable.ts'
import type { OrderLine } from '../../src/order/order-line.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { type Verdict, verifyPlan } from '../../src/plan/verify.ts'
import type { Mounting } from '../../src/strip/cut-plan.ts'
import { EveryMounting, type Unit } from './every-mounting.ts'

export interface Tried {
  verdict: Verdict
  mountings: Mounting[]
  /** How many mountings were priced. */
  tried: number
}

/**
 * The best plan among all that are worth trying, each priced by the check of plans alone: least unserved first, then least cost.
 * Mountings of one cable on a line do not change each other's cost, so each drum is searched by itself and only the cheapest
 * mounting for each set of pieces is kept; sets are then combined, and the whole plan is checked again.
 */
export function bestOfAll(input: PlanInput): Tried {
  let best: Tried = { verdict: priced(input, []), mountings: [], tried: 0 }
  let tried = 0
  for (const units of readings(input.orders)) {
    const byDrum = input.drums.map((d) => cheapestBySet(input, d.drum, units, () => tried++))
    for (const mountings of combined(byDrum)) {
      const verdict = priced(input, mountings)
      if (verdict.broken.length === 0 && isBetter(verdict, best.verdict)) best = { verdict, mountings, tried }
    }
  }
  return { ...best, tried }
}

function priced(input: PlanInput, mountings: Mounting[]): Verdict {
  const served = new Map<OrderLine, Set<number>>(input.orders.map((o) => [o, new Set()]))
  for (const m of mountings)
    for (const i of m.intervals)
      if (i.use === 'piece')
        served.get(input.orders.find((o) => o.order === i.order && o.line === i.orderLine)!)!.add(i.piece)
  const unserved: Plan['unserved'] = input.orders.flatMap((o) => {
    const pieces = o.qty - served.get(o)!.size
    return pieces > 0
      ? [{ order: o.order, orderLine: o.line, pieces, reason: 'tried without', offer: null }]
      : []
  })
  return verifyPlan(input, { mountings, unserved })
}

function isBetter(a: Verdict, b: Verdict): boolean {
  return (
    a.unservedMicro < b.unservedMicro || (a.unservedMicro === b.unservedMicro && a.costMicro < b.costMicro)
  )
}

/** What may be cut: a piece that may come in parts is read in several ways, whole and in two parts. */
function readings(orders: OrderLine[]): Unit[][] {
  let readings: Unit[][] = [[]]
  for (const order of orders)
    for (let piece = 1; piece <= order.qty; piece++) {
      const ways = waysOf(order, piece)
      readings = readings.flatMap((r) => ways.map((w) => [...r, ...w]))
    }
  return readings
}

function waysOf(order: OrderLine, piece: number): Unit[][] {
  const mostUm = order.lengthUm
  const leastUm = Math.ceil(order.lengthUm * (1 - (order.tolMinusPct ?? 0) / 100))
  const whole: Unit[] = [{ order, piece, part: 1, mostUm, leastUm }]
  if (order.singleLength) return [whole]
  const shortUm = order.minPieceUm!
  const firsts = [shortUm, Math.floor(mostUm / 2), mostUm - shortUm]
  return [
    whole,
    ...firsts.map((firstUm) => [
      { order, piece, part: 1, mostUm: firstUm, leastUm: firstUm },
      { order, piece, part: 2, mostUm: mostUm - firstUm, leastUm: mostUm - firstUm },
    ]),
  ]
}

type BySet = Map<number, { mounting: Mounting; costMicro: number }>

function cheapestBySet(input: PlanInput, drum: string, units: Unit[], count: () => void): BySet {
  const cheapest: BySet = new Map()
  const alone = { ...input, drums: input.drums.filter((d) => d.drum === drum) }
  const row = alone.drums[0]!
  const benches = input.benchHall.benches.filter((b) => b.can.includes('cut')).map((b) => b.id)
  const places = input.site.lines.map((l) => l.id)
  if (row.kind === 'remnant' && row.grossKg <= BENCH_MAX_KG) places.push(...benches)
  for (const place of places)
    new EveryMounting(input, drum, place, units, (mask, mounting) => {
      count()
      const { broken, costMicro } = verifyPlan(alone, { mountings: [mounting], unserved: [] })
      if (broken.some((b) => b.where.startsWith('mounting'))) return
      if (costMicro < (cheapest.get(mask)?.costMicro ?? Number.POSITIVE_INFINITY))
        cheapest.set(mask, { mounting, costMicro })
    }).run()
  return cheapest
}

/** Every way to give the drums sets that do not overlap. */
function* combined(byDrum: BySet[], taken = 0): Generator<Mounting[]> {
  const [first, ...others] = byDrum
  if (!first) return yield []
  yield* combined(others, taken)
  for (const [mask, { mounting }] of first)
    if ((mask & taken) === 0) for (const rest of combined(others, taken | mask)) yield [mounting, ...rest]
}
