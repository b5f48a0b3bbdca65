import type { CableType } from '../cable/cable-type.ts'
import { allowsFault } from '../order/faults-allowed.ts'
import type { OrderLine } from '../order/order-line.ts'
import { putupCapacityM } from '../putup/capacity.ts'
import type { LengthUm } from '../quantity/length.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { neededUm } from './tally.ts'
import { materialMicro, unservedMicro } from './tariff.ts'

/** One way to put up a piece: `putup` null for leads, which count as one put-up of their own. */
export interface PutupOption {
  putup: string | null
  /** Number of the put-up within the instance; pieces of one number follow each other without a change. */
  group: number
  /** Paid only where the works chose the put-up itself. */
  costMicro: MicroEur
  /** The longest piece that it holds, by geometry and payload. */
  mostDeclaredUm: LengthUm
}

/** A demand: order lines that want the same length under the same conditions. */
export interface Item {
  index: number
  /** Most valuable piece first: that is the order in which pieces are given out. */
  lines: { order: OrderLine; pieces: number; weightMicro: MicroEur }[]
  /** Pieces wanted; for leads the number of leads. */
  demand: number
  /** What one piece takes from the drum. */
  cutUm: LengthUm
  declaredUm: LengthUm
  /** Material value credited for one piece. */
  creditMicro: MicroEur
  lead: boolean
  options: PutupOption[]
  group: string | null
  /** The shortest piece that the minus tolerance allows; null where it allows none. */
  shortest: { cutUm: LengthUm; declaredUm: LengthUm } | null
  /** A piece that may come in parts. */
  split: { minUm: LengthUm; maxParts: number } | null
  /** Share of the ordered length that the parts of a piece must at least add up to; 1 for any other item. */
  leastShare: number
  /** Its pieces may come in parts, but there are so many that each is cut in one length; the bound lets them come as they like. */
  loose: boolean
  /** Drums that a person forbids its order lines. */
  barred: ReadonlySet<string>
  /** Earliest due date of its order lines. */
  earliestDue: string
  /** Weight of leaving one more piece unserved, least first; `pieces` of them each. */
  tiers: { weightMicro: MicroEur; pieces: number }[]
}

/** Length of drum that a bulk piece takes; a need, so it goes up. */
export function bulkCutUm(declaredUm: LengthUm, guardRatio: number, trimUm: LengthUm): LengthUm {
  // the hundredth keeps a binary fraction such as 1.001 from rounding a whole figure up
  return Math.ceil(declaredUm * (1 + guardRatio) + trimUm - 0.01)
}

/** The most that can be declared of a length taken from a drum: the other way round, so it goes down. */
export function declaredOfCutUm(cutUm: LengthUm, guardRatio: number, trimUm: LengthUm): LengthUm {
  return Math.floor((cutUm - trimUm) / (1 + guardRatio) + 0.02)
}

/** What is wanted of one cable type, alike demands as one item. */
export function itemsOf(catalog: Catalog, cable: CableType): Item[] {
  const { cutRules, works } = catalog.input.site
  const byKind = new Map<string, Item>()
  const putupNumbers = new Map<string, number>()
  for (const order of demandsOf(catalog.input.orders, cable.cable)) {
    const lead = order.kind === 'lead'
    const neededLengthUm = neededUm(catalog, order)
    const declaredUm = declaredFor(order, neededLengthUm)
    const barred = catalog.barred.get(orderKey(order.order, order.line)) ?? new Set<string>()
    const kind = JSON.stringify([
      lead,
      declaredUm,
      lead ? 0 : (order.tolMinusPct ?? 0),
      order.sameLotGroup,
      order.faultsAllowed,
      order.printRequired,
      lead ? null : order.putup,
      lead ? null : (catalog.markets.get(order.market)?.woodRule ?? null),
      lead || order.singleLength ? null : [order.order, order.line, byKind.size],
      [...barred].sort(),
    ])
    let item = byKind.get(kind)
    if (!item) {
      const cutUm = lead
        ? declaredUm + cutRules.leadTrimUm
        : bulkCutUm(declaredUm, cutRules.lengthGuardRatio, cutRules.pieceTrimUm)
      const shortest = shortestOf(catalog, order, declaredUm)
      const split =
        lead || order.singleLength
          ? null
          : { minUm: order.minPieceUm ?? declaredUm, maxParts: order.maxParts ?? 1 }
      const leastUm = Math.min(declaredUm, shortest?.declaredUm ?? declaredUm, split?.minUm ?? declaredUm)
      item = {
        index: byKind.size,
        lines: [],
        demand: 0,
        cutUm,
        declaredUm,
        creditMicro: materialMicro(catalog.input.costs, cable.cable, neededLengthUm),
        lead,
        options:
          declaredUm > mostFor(order, neededLengthUm)
            ? []
            : lead
              ? [leadOption(putupNumbers)]
              : putupOptions(catalog, cable, order, leastUm, putupNumbers),
        group: order.sameLotGroup,
        shortest,
        split,
        leastShare: split ? 1 - (order.tolMinusPct ?? 0) / 100 : 1,
        loose: !lead && !order.singleLength && !split,
        barred,
        earliestDue: order.dueDate,
        tiers: [],
      }
      byKind.set(kind, item)
    }
    item.demand += order.wanted
    if (order.dueDate < item.earliestDue) item.earliestDue = order.dueDate
    item.lines.push({ order, pieces: order.wanted, weightMicro: unservedMicro(order, 1, works.todayDate) })
  }
  for (const item of byKind.values()) {
    item.lines.sort((a, b) => b.weightMicro - a.weightMicro || (a.order.dueDate < b.order.dueDate ? -1 : 1))
    item.tiers = item.lines.map((l) => ({ weightMicro: l.weightMicro, pieces: l.pieces })).reverse()
  }
  return [...byKind.values()]
}

/** What one piece declares: the ordered length, or its shortest part where that is longer and the plus tolerance reaches it. */
function declaredFor(order: OrderLine, lengthUm: LengthUm): LengthUm {
  return order.kind === 'lead' || order.singleLength ? lengthUm : Math.max(lengthUm, order.minPieceUm ?? 0)
}

function mostFor(order: OrderLine, lengthUm: LengthUm): LengthUm {
  return order.kind === 'lead' ? lengthUm : lengthUm * (1 + (order.tolPlusPct ?? 0) / 100)
}

/** Pieces of one line beyond which each may no longer come in parts of its own; it then comes in one length, which is always allowed. */
const MOST_SPLIT_PIECES = 40

/** The order lines of a cable; a line whose pieces may come in parts stands once for each piece. */
function* demandsOf(orders: OrderLine[], cable: string): Generator<OrderLine & { wanted: number }> {
  for (const order of orders) {
    if (order.cable !== cable) continue
    if (order.kind === 'lead' || order.singleLength || order.qty > MOST_SPLIT_PIECES)
      yield { ...order, wanted: order.qty }
    else for (let n = 0; n < order.qty; n++) yield { ...order, wanted: 1 }
  }
}

function shortestOf(catalog: Catalog, order: OrderLine, declaredUm: LengthUm): Item['shortest'] {
  if (order.kind === 'lead' || !order.singleLength || !order.tolMinusPct) return null
  const { cutRules } = catalog.input.site
  // a tolerance of all of it would allow pieces of no length, as many as one likes
  const leastUm = Math.max(1, Math.ceil(declaredUm * (1 - order.tolMinusPct / 100)))
  return { declaredUm: leastUm, cutUm: bulkCutUm(leastUm, cutRules.lengthGuardRatio, cutRules.pieceTrimUm) }
}

function numberOf(putup: string, numbers: Map<string, number>): number {
  const number = numbers.get(putup) ?? numbers.size
  numbers.set(putup, number)
  return number
}

function leadOption(numbers: Map<string, number>): PutupOption {
  return {
    putup: null,
    group: numberOf(' lead', numbers),
    costMicro: 0,
    mostDeclaredUm: Number.MAX_SAFE_INTEGER,
  }
}

/** Put-ups that hold the piece and suit its market: the one asked for, or any where the works may choose. */
function putupOptions(
  catalog: Catalog,
  cable: CableType,
  order: OrderLine,
  leastDeclaredUm: LengthUm,
  numbers: Map<string, number>,
): PutupOption[] {
  const { cutRules, putupRules } = catalog.input.site
  const wood = catalog.markets.get(order.market)?.woodRule
  const options: PutupOption[] = []
  for (const putup of catalog.input.putups) {
    if (order.putup !== null && putup.putup !== order.putup) continue
    if (order.putup === null && putup.kind === 'process_drum') continue
    if (putup.barrelMm < cable.barrelMinMm) continue
    if (putup.woodMark === 'unmarked' && wood !== 'none') continue
    const byPayloadUm = ((putup.payloadKg * 1000) / cable.massKgKm) * 1e6
    const mostDeclaredUm = Math.floor(
      Math.min(
        putupCapacityM(putup, cable, putupRules) * 1e6,
        (byPayloadUm - cutRules.pieceTrimUm) / (1 + cutRules.lengthGuardRatio) - 1,
      ),
    )
    if (mostDeclaredUm < leastDeclaredUm) continue
    options.push({
      putup: putup.putup,
      group: numberOf(putup.putup, numbers),
      costMicro: order.putup === null ? microFromEur(putup.costEur) : 0,
      mostDeclaredUm,
    })
  }
  return options
}

/** The least that one length of an item takes from a drum; for a piece in parts without trim and guard, so no more than that. */
export function leastCutUm(item: Item): LengthUm {
  if (item.loose)
    return item.lines.reduce((least, l) => Math.min(least, l.order.minPieceUm ?? item.cutUm), item.cutUm)
  return item.split?.minUm ?? item.shortest?.cutUm ?? item.cutUm
}

/** Whether a piece of this item may lie across a stretch with these faults. */
export function itemAllows(item: Item, fault: Parameters<typeof allowsFault>[1]): boolean {
  return item.lines.every((l) => allowsFault(l.order, fault))
}
