import type { CableType } from '../cable/cable-type.ts'
import { allowsFault } from '../order/faults-allowed.ts'
import type { OrderLine } from '../order/order-line.ts'
import { putupCapacityM } from '../putup/capacity.ts'
import { FINE_PER_UM, type LengthUm } from '../quantity/length.ts'
import { type MicroEur, microFromEur } from '../quantity/money.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { creditedUm, neededFine, neededUm, sharePct } from './tally.ts'
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
  /** By how much a lead's `cutUm` is rounded up, in ten-thousandths of a µm, which leads side by side do not take each; 0 for bulk. */
  cutUpFine: number
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

/** Length that so many pieces of an item take side by side, each `cutUm` or less: of leads what is rounded up is taken but once. */
export function sideBySideUm(item: Item, count: number, cutUm: LengthUm): LengthUm {
  return count * cutUm - Math.floor((count * item.cutUpFine) / FINE_PER_UM)
}

/** What is wanted of one cable type, alike demands as one item. */
export function itemsOf(catalog: Catalog, cable: CableType): Item[] {
  const { todayDate } = catalog.input.site.works
  const byKind = new Map<string, Item>()
  const putupNumbers = new Map<string, number>()
  for (const order of demandsOf(catalog.input.orders, cable.cable)) {
    const lead = order.kind === 'lead'
    const wanted = wantedOf(catalog, order)
    const barred = catalog.barred.get(orderKey(order.order, order.line)) ?? new Set<string>()
    const kind = JSON.stringify([
      lead,
      wanted,
      lead ? 0 : (order.tolMinusPct ?? 0),
      order.sameLotGroup,
      order.faultsAllowed,
      order.printRequired,
      lead ? null : order.putup,
      lead ? null : (catalog.markets.get(order.market)?.woodRule ?? null),
      lead || order.singleLength ? null : [order.order, order.line, byKind.size],
      [...barred].sort(),
    ])
    const item =
      byKind.get(kind) ??
      bareItem(catalog, cable, order, { wanted, barred, index: byKind.size }, putupNumbers)
    byKind.set(kind, item)
    item.demand += order.wanted
    if (order.dueDate < item.earliestDue) item.earliestDue = order.dueDate
    item.lines.push({ order, pieces: order.wanted, weightMicro: unservedMicro(order, 1, todayDate) })
  }
  for (const item of byKind.values()) {
    item.lines.sort((a, b) => b.weightMicro - a.weightMicro || (a.order.dueDate < b.order.dueDate ? -1 : 1))
    item.tiers = item.lines.map((l) => ({ weightMicro: l.weightMicro, pieces: l.pieces })).reverse()
  }
  return [...byKind.values()]
}

/** Length of one piece of an order line, before and after it is rounded up, and what it declares. */
interface Wanted {
  fine: number
  declaredUm: LengthUm
  /** A lead shorter than its connectors is no length of cable, whatever is trimmed from it. */
  makable: boolean
}

function wantedOf(catalog: Catalog, order: OrderLine): Wanted {
  const fine = neededFine(catalog, order)
  const makable = order.kind === 'bulk' || fine > 0
  // what cannot be made has a length all the same, and no way to put it up
  return { fine, declaredUm: makable ? declaredFor(order, neededUm(catalog, order)) : 1, makable }
}

/** An item without its order lines. */
function bareItem(
  catalog: Catalog,
  cable: CableType,
  order: OrderLine,
  { wanted, barred, index }: { wanted: Wanted } & Pick<Item, 'barred' | 'index'>,
  putupNumbers: Map<string, number>,
): Item {
  const { fine, declaredUm, makable } = wanted
  const { cutRules } = catalog.input.site
  const lead = order.kind === 'lead'
  const cutUm = lead
    ? declaredUm + cutRules.leadTrimUm
    : bulkCutUm(declaredUm, cutRules.lengthGuardRatio, cutRules.pieceTrimUm)
  const shortest = shortestOf(catalog, order, declaredUm)
  const minUm = lead || order.singleLength ? declaredUm : (order.minPieceUm ?? declaredUm)
  // pieces of which there are too many to be followed one by one come in one length each
  const loose = !lead && !order.singleLength && order.qty > MOST_SPLIT_PIECES
  const split = lead || order.singleLength || loose ? null : { minUm, maxParts: order.maxParts ?? 1 }
  const leastUm = Math.min(declaredUm, shortest?.declaredUm ?? declaredUm, minUm)
  const possible = makable && (lead || declaredUm <= mostFor(order, fine / FINE_PER_UM))
  return {
    index,
    lines: [],
    demand: 0,
    cutUm,
    cutUpFine: lead && makable ? declaredUm * FINE_PER_UM - fine : 0,
    declaredUm,
    creditMicro: makable ? materialMicro(catalog.input.costs, cable.cable, creditedUm(order, fine)) : 0,
    lead,
    options: !possible
      ? []
      : lead
        ? [leadOption(putupNumbers)]
        : putupOptions(catalog, cable, order, leastUm, putupNumbers),
    group: order.sameLotGroup,
    shortest,
    split,
    leastShare: split ? 1 - (order.tolMinusPct ?? 0) / 100 : 1,
    loose,
    barred,
    earliestDue: order.dueDate,
    tiers: [],
  }
}

/** What one piece declares: the ordered length, or its shortest part where that is longer and the plus tolerance reaches it. */
function declaredFor(order: OrderLine, lengthUm: LengthUm): LengthUm {
  return order.kind === 'lead' || order.singleLength ? lengthUm : Math.max(lengthUm, order.minPieceUm ?? 0)
}

/** The most that a bulk piece may declare. */
function mostFor(order: OrderLine, orderedUm: number): number {
  return Math.max(order.lengthUm, orderedUm + sharePct(orderedUm, order.tolPlusPct))
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

/** The least that one length of an item takes from a drum, µm, of leads not whole; for a piece in parts without trim and guard, so no more than that. */
export function leastCutUm(item: Item): number {
  if (item.loose)
    return item.lines.reduce((least, l) => Math.min(least, l.order.minPieceUm ?? item.cutUm), item.cutUm)
  return item.split?.minUm ?? item.shortest?.cutUm ?? barestCutUm(item)
}

/** What each of many pieces takes, for bounds: not rounded up, and a hair less, so that no binary fraction counts as length. */
export function barestCutUm(item: Item): number {
  return item.cutUpFine === 0 ? item.cutUm : item.cutUm - (item.cutUpFine + 0.01) / FINE_PER_UM
}

/** Whether a piece of this item may lie across a stretch with these faults. */
export function itemAllows(item: Item, fault: Parameters<typeof allowsFault>[1]): boolean {
  return item.lines.every((l) => allowsFault(l.order, fault))
}
