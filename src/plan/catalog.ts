import type { CableType } from '../cable/cable-type.ts'
import type { Bench } from '../hall/bench.ts'
import type { Market } from '../hall/market.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { Connector } from '../lead/connector.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { Putup } from '../putup/putup.ts'
import { groupBy } from '../quantity/group-by.ts'
import { type UsableDrum, usableDrum } from '../strip/usable.ts'
import type { PlanInput } from './plan-input.ts'

/** The works indexed by its keys, with what follows for each drum. Any id must work as a key, hence Maps. */
export interface Catalog {
  input: PlanInput
  cables: Map<string, CableType>
  putups: Map<string, Putup>
  connectors: Map<string, Connector>
  markets: Map<string, Market>
  lines: Map<string, RewindingLine>
  /** Bench places that can cut. */
  benches: Map<string, Bench>
  drums: Map<string, UsableDrum>
  /** By `order/line`. */
  orders: Map<string, OrderLine>
  /** By order line, the drums that it must not be cut from: a person forbids it, or its same-lot group was begun from another lot. */
  barred: ReadonlyMap<string, ReadonlySet<string>>
}

export function orderKey(order: string, line: number): string {
  return `${order}/${line}`
}

/** `barred`: by order line, the drums that a person forbids it. */
export function catalogOf(input: PlanInput, barred: Catalog['barred'] = new Map()): Catalog {
  const segments = groupBy(input.marks, (s) => s.drum)
  const faults = groupBy(input.faults, (f) => f.drum)
  const drums = new Map<string, UsableDrum>()
  for (const drum of input.drums)
    drums.set(
      drum.drum,
      usableDrum(drum, segments.get(drum.drum) ?? [], faults.get(drum.drum) ?? [], input.site.cutRules),
    )
  return {
    input,
    cables: new Map(input.cables.map((c) => [c.cable, c])),
    putups: new Map(input.putups.map((p) => [p.putup, p])),
    connectors: new Map(input.connectors.map((c) => [c.part, c])),
    markets: new Map(input.markets.map((m) => [m.market, m])),
    lines: new Map(input.site.lines.map((l) => [l.id, l])),
    benches: new Map(input.benchHall.benches.filter((b) => b.can.includes('cut')).map((b) => [b.id, b])),
    drums,
    orders: new Map(input.orders.map((o) => [orderKey(o.order, o.line), o])),
    barred: barredWithLots(input, barred),
  }
}

function barredWithLots({ orders, drums }: PlanInput, byPerson: Catalog['barred']): Catalog['barred'] {
  const barred = new Map(byPerson)
  for (const order of orders) {
    const lot = order.sameLotGroup === null ? null : (order.open?.lot ?? null)
    if (lot === null) continue
    const key = orderKey(order.order, order.line)
    const others = drums.filter((d) => d.cable === order.cable && d.lot !== lot).map((d) => d.drum)
    barred.set(key, new Set([...(barred.get(key) ?? []), ...others]))
  }
  return barred
}
