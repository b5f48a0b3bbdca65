import type { OrderLine } from '../order/order-line.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import { type Catalog, orderKey } from './catalog.ts'
import type { DrumModel } from './drum-model.ts'
import { placeTakes } from './drum-model.ts'
import type { TypeInstance } from './instance.ts'
import { declaredOfCutUm, type Item } from './item.ts'
import type { Offer, Unserved } from './plan.ts'
import { mostOfLot } from './service-bound.ts'

/**
 * For every order line that is not served in full: how many pieces, why, and the longest length that stock could give instead.
 * `leastLeft`: the cables of which no plan can serve more; of others a reason does not say that the stock does not reach.
 */
export function unservedOf(
  catalog: Catalog,
  instances: TypeInstance[],
  mountings: Mounting[],
  leastLeft: ReadonlySet<string>,
): Unserved[] {
  const served = servedPieces(mountings)
  const unserved: Unserved[] = []
  for (const [key, order] of catalog.orders) {
    const pieces = order.qty - (served.get(key)?.size ?? 0)
    if (pieces <= 0) continue
    const instance = instances.find((i) => i.cable.cable === order.cable)!
    const item = instance.items.find((i) =>
      i.lines.some((l) => orderKey(l.order.order, l.order.line) === key),
    )!
    const offer = offerOf(catalog, instance, item)
    unserved.push({
      order: order.order,
      orderLine: order.line,
      pieces,
      reason: reasonOf(catalog, instance, item, order, offer, leastLeft.has(order.cable)),
      offer,
    })
  }
  return unserved
}

function servedPieces(mountings: Mounting[]): Map<string, Set<number>> {
  const served = new Map<string, Set<number>>()
  for (const mounting of mountings)
    for (const interval of mounting.intervals) {
      if (interval.use !== 'piece') continue
      const key = orderKey(interval.order, interval.orderLine)
      const pieces = served.get(key) ?? new Set()
      served.set(key, pieces)
      for (let n = 0; n < interval.count; n++) pieces.add(interval.piece + n)
    }
  return served
}

/** The longest length that could be declared from one clean place of one free drum, for what this item allows. */
function offerOf(catalog: Catalog, instance: TypeInstance, item: Item): Offer | null {
  const longest = item.lead && item.options.length === 0 ? null : longestRun(instance, item)
  if (!longest) return null
  const { lengthGuardRatio, pieceTrimUm, leadTrimUm } = catalog.input.site.cutRules
  const lengthUm = item.lead
    ? longest.lengthUm - leadTrimUm
    : declaredOfCutUm(longest.lengthUm, lengthGuardRatio, pieceTrimUm)
  if (lengthUm <= 0) return null
  // what is offered is said in whole decimetres, rounded down
  const said = Math.floor(lengthUm / 100_000) * 100_000
  const { drum, lot } = longest.model.usable.drum
  return { lengthUm: said > 0 ? said : lengthUm, drum, lot }
}

function longestRun(instance: TypeInstance, item: Item): { lengthUm: LengthUm; model: DrumModel } | null {
  let longest: { lengthUm: LengthUm; model: DrumModel } | null = null
  for (const model of instance.drums) {
    let run = 0
    let atUm = -1
    for (const part of model.divisions[0]!) {
      run = part.allowed[item.index] ? (part.fromUm === atUm ? run : 0) + part.toUm - part.fromUm : 0
      atUm = part.toUm
      if (run > (longest?.lengthUm ?? 0)) longest = { lengthUm: run, model }
    }
  }
  return longest
}

function reasonOf(
  catalog: Catalog,
  instance: TypeInstance,
  item: Item,
  order: OrderLine,
  offer: Offer | null,
  leastLeft: boolean,
): string {
  const cable = order.cable
  const inStock = catalog.input.drums.filter((d) => d.cable === cable)
  if (inStock.length === 0) return `There is no ${cable} in stock.`
  if (instance.drums.length === 0) {
    const held = inStock.every((d) => d.status !== 'free')
    return held
      ? `All ${cable} in stock is held.`
      : `No line or cutting bench takes what there is of ${cable}.`
  }
  if (item.lead && item.options.length === 0)
    return 'The connectors are longer than the lead: there is no cable left to cut.'
  if (item.options.length === 0) return putupReason(catalog, order)
  const takesPutup = instance.drums.some((d) =>
    d.places.some((p) => item.options.some((o) => placeTakes(p, item, o.putup))),
  )
  if (!takesPutup)
    return `No line that takes ${cable} winds ${item.options.map((o) => o.putup).join(' or ')}.`
  const needUm = item.split ? item.split.minUm : (item.shortest?.cutUm ?? item.cutUm)
  const longest = longestRun(instance, item)
  if (!longest || longest.lengthUm < needUm) {
    const have = longest
      ? `the longest is ${metres(longest.lengthUm)} on ${longest.model.usable.drum.drum}`
      : 'there is none'
    return `No clean stretch of ${cable} is long enough: one piece takes ${metres(needUm)} with its margins, ${have}.`
  }
  if (item.group !== null) {
    const lots = [...new Set(instance.drums.map((d) => d.usable.drum.lot))]
    const group = instance.items.filter((i) => i.group === item.group)
    const wanted = group.reduce((sum, i) => sum + i.demand, 0)
    const most = Math.max(
      ...lots.map((lot) => group.reduce((sum, i) => sum + mostOfLot(instance, i, lot), 0)),
    )
    if (most < wanted)
      return `No lot holds ${wanted === 2 ? 'both' : `all ${wanted}`} pieces that must come from one lot: the best lot holds ${Math.floor(most)}.`
    if (!leastLeft)
      return `No lot was found that gives all pieces that must come from one lot beside what else is ordered of ${cable}; that none can is not proven.`
    return `No lot can give all pieces that must come from one lot beside what else is ordered of ${cable}.`
  }
  if (!leastLeft)
    return `No place for it was found beside what else is ordered of ${cable}; that the stock does not reach is not proven.`
  return `The clean ${cable} in stock does not reach for every order; this line weighs least by price and due date${offer ? '' : ', and nothing is left to offer'}.`
}

function putupReason(catalog: Catalog, order: OrderLine): string {
  if (order.putup === null) return `No put-up of the works holds ${metres(order.lengthUm)} of ${order.cable}.`
  const putup = catalog.putups.get(order.putup)
  const cable = catalog.cables.get(order.cable)
  if (putup && cable && putup.barrelMm < cable.barrelMinMm)
    return `The barrel of ${order.putup} (${putup.barrelMm} mm) is below the least that ${order.cable} may be wound on (${cable.barrelMinMm} mm).`
  if (putup?.woodMark === 'unmarked' && catalog.markets.get(order.market)?.woodRule !== 'none')
    return `${order.putup} is unmarked wood, which market ${order.market} does not admit.`
  return `${order.putup} does not hold ${metres(order.lengthUm)} of ${order.cable}.`
}

/** Metres to the decimetre for a sentence. */
function metres(lengthUm: LengthUm): string {
  return `${(lengthUm / 1e6).toFixed(1)} m`
}
