import type { OrderLine } from '../../src/order/order-line.ts'
import { type Catalog, catalogOf, orderKey } from '../../src/plan/catalog.ts'
import type { Plan } from '../../src/plan/plan.ts'
import type { PlanInput } from '../../src/plan/plan-input.ts'
import { dueWeight } from '../../src/plan/tariff.ts'
import { planOf } from './plan-of.ts'
import {
  bulkRooms,
  declarableUm,
  leadRooms,
  leadUm,
  place,
  type Room,
  remember,
  type ShelfDrum,
  shelfOf,
  takenUm,
} from './shelf.ts'

/** How a greedy planner chooses among the places where a piece fits; `lengthUm` is what it takes. Never called with none. */
export type Choice = (rooms: Room[], lengthUm: number) => Room

interface Greedy {
  catalog: Catalog
  shelf: ShelfDrum[]
  choose: Choice
  served: Map<OrderLine, number>
}

/** Serves the longest pieces first, one after the other, never looking back; what no place is left for stays unserved. */
export function planGreedily(input: PlanInput, choose: Choice): Plan {
  const catalog = catalogOf(input)
  // remnants before drums, the shortest remnant first
  const shelf = shelfOf(catalog).sort((a, b) => rank(a) - rank(b))
  const greedy: Greedy = { catalog, shelf, choose, served: new Map() }
  for (const unit of units(catalog)) serveUnit(greedy, unit)
  return planOf(catalog, shelf, greedy.served)
}

function rank({ usable }: ShelfDrum): number {
  return usable.drum.kind === 'remnant' ? usable.lengthUm : Number.MAX_SAFE_INTEGER
}

/** Order lines that must be served together, longest piece first. */
function units(catalog: Catalog): OrderLine[][] {
  const groups = new Map<string, OrderLine[]>()
  for (const line of catalog.input.orders) {
    const key = line.sameLotGroup === null ? orderKey(line.order, line.line) : `lot ${line.sameLotGroup}`
    groups.set(key, [...(groups.get(key) ?? []), line])
  }
  const longest = (unit: OrderLine[]) => Math.max(...unit.map((l) => l.lengthUm))
  return [...groups.values()]
    .map((unit) => unit.sort((a, b) => b.lengthUm - a.lengthUm))
    .sort((a, b) => longest(b) - longest(a))
}

function serveUnit(greedy: Greedy, unit: OrderLine[]): void {
  const { shelf, served } = greedy
  if (unit[0]!.sameLotGroup === null) {
    for (const line of unit) serveLine(greedy, line, shelf)
    return
  }
  const lots = new Set(
    shelf.filter((d) => d.usable.drum.cable === unit[0]!.cable).map((d) => d.usable.drum.lot),
  )
  let best: { lot: string; worth: number } | null = null
  const serveFrom = (lot: string) => {
    const own = shelf.filter((d) => d.usable.drum.lot === lot)
    for (const line of unit) serveLine(greedy, line, own)
  }
  for (const lot of lots) {
    const undo = remember(shelf)
    serveFrom(lot)
    const worth = unit.reduce((sum, line) => sum + worthOf(greedy, line), 0)
    if (best === null || worth > best.worth) best = { lot, worth }
    undo()
    for (const line of unit) served.delete(line)
  }
  if (best) serveFrom(best.lot)
}

function worthOf({ catalog, served }: Greedy, line: OrderLine): number {
  const weight = dueWeight(line.dueDate, catalog.input.site.works.todayDate)
  return (line.priceEur * weight * (served.get(line) ?? 0)) / line.qty
}

function serveLine(greedy: Greedy, line: OrderLine, from: ShelfDrum[]): void {
  const serve = line.kind === 'lead' ? serveLeads : serveBulkPiece
  while (true) {
    const done = greedy.served.get(line) ?? 0
    const more = done < line.qty ? serve(greedy, line, from, done) : 0
    if (more === 0) return
    greedy.served.set(line, done + more)
  }
}

function serveBulkPiece(greedy: Greedy, line: OrderLine, from: ShelfDrum[], done: number): number {
  const shortUm = Math.ceil(line.lengthUm * (1 - (line.tolMinusPct ?? 0) / 100))
  for (const declaredUm of new Set([line.lengthUm, shortUm]))
    if (placeBulk(greedy, line, from, { declaredUm, piece: done + 1, part: 1 })) return 1
  return !line.singleLength && serveInParts(greedy, line, from, done + 1) ? 1 : 0
}

interface BulkPiece {
  declaredUm: number
  piece: number
  part: number
}

function placeBulk(
  { catalog, choose }: Greedy,
  line: OrderLine,
  from: ShelfDrum[],
  bulk: BulkPiece,
): boolean {
  const rooms = bulkRooms(catalog, from, line, bulk.declaredUm)
  if (rooms.length === 0) return false
  const lengthUm = takenUm(catalog, bulk.declaredUm)
  const room = choose(rooms, lengthUm)
  place(catalog, room, lengthUm, { line, ...bulk, count: 1, putup: room.putup })
  return true
}

const PART_STEP_UM = 100_000

/** The longest part that is left each time, so that few are needed. */
function serveInParts(greedy: Greedy, line: OrderLine, from: ShelfDrum[], piece: number): boolean {
  const leastUm = line.minPieceUm ?? 0
  const undo = remember(greedy.shelf)
  let openUm = line.lengthUm
  for (let part = 1; part <= (line.maxParts ?? 1); part++) {
    if (placeBulk(greedy, line, from, { declaredUm: openUm, piece, part })) return true
    const rooms = bulkRooms(greedy.catalog, from, line, leastUm)
    const longestUm = rooms.reduce(
      (most, r) => Math.max(most, declarableUm(greedy.catalog, r.toUm - r.fromUm)),
      0,
    )
    const declaredUm = Math.floor(Math.min(longestUm, openUm - leastUm) / PART_STEP_UM) * PART_STEP_UM
    if (declaredUm < leastUm || !placeBulk(greedy, line, from, { declaredUm, piece, part })) break
    openUm -= declaredUm
  }
  undo()
  return false
}

/** As many leads of the line as fit one place: remnants that the bench can take first, then drums already in use. */
function serveLeads(greedy: Greedy, line: OrderLine, from: ShelfDrum[], done: number): number {
  const { catalog, choose } = greedy
  const { cutUm, eachUm } = leadUm(catalog, line)
  const rooms = leadRooms(catalog, from, line)
  if (rooms.length === 0) return 0
  const tier = ({ drum }: Room) =>
    drum.runners.some((id) => catalog.benches.has(id)) ? 0 : drum.placed.length > 0 ? 1 : 2
  const first = Math.min(...rooms.map(tier))
  const near = rooms.filter((r) => tier(r) === first)
  const lengthUm = eachUm * (line.qty - done)
  const whole = near.filter((r) => r.toUm - r.fromUm >= lengthUm)
  const room = whole.length > 0 ? choose(whole, lengthUm) : longest(near)
  const count = Math.min(line.qty - done, Math.floor((room.toUm - room.fromUm) / eachUm))
  place(catalog, room, count * eachUm, {
    line,
    piece: done + 1,
    part: 1,
    count,
    declaredUm: cutUm,
    putup: null,
  })
  return count
}

function longest(rooms: Room[]): Room {
  return rooms.reduce((a, b) => (b.toUm - b.fromUm > a.toUm - a.fromUm ? b : a))
}
