import type { OrderLine } from '../order/order-line.ts'
import type { KitPart, KitStock } from './kit-stock.ts'

/** One part of a kit with where it is taken from. */
export interface KitNeed {
  part: string
  what: string
  needed: number
  /** null: not recorded. */
  inStock: number | null
  /** What lines that are due before this one take of it. */
  earlierLines: number
  /** Missing for this line once the earlier ones have theirs; null: not recorded. */
  short: number | null
  /** Oldest lot first. */
  take: { lot: string; pieces: number }[]
}

interface KitQuestion {
  orders: OrderLine[]
  parts: KitPart[]
  /** null: not recorded. */
  stock: KitStock[] | null
  /** How many leads of a line are started. */
  startOf: (line: OrderLine) => number
}

/** Parts of one line of leads: its connectors, and what goes on each end or into each lead. */
export function kitList(line: OrderLine, question: KitQuestion): KitNeed[] {
  const earlier = question.orders.filter(
    (other) => other.kind === 'lead' && comesBefore(other, line, question.orders),
  )
  const taken = new Map<string, number>()
  for (const other of earlier)
    for (const [part, pieces] of piecesOf(other, question)) taken.set(part, (taken.get(part) ?? 0) + pieces)
  const names = new Map(question.parts.map(({ part, what }) => [part, what]))
  return [...piecesOf(line, question)].map(([part, needed]) => {
    const what = names.get(part) ?? 'connector'
    const earlierLines = taken.get(part) ?? 0
    if (question.stock === null)
      return { part, what, needed, inStock: null, earlierLines, short: null, take: [] }
    const lots = question.stock
      .filter((row) => row.part === part)
      .sort((a, b) => (a.receivedDate < b.receivedDate ? -1 : 1))
    const inStock = lots.reduce((sum, { pieces }) => sum + pieces, 0)
    const left = Math.max(0, inStock - earlierLines)
    return {
      ...{ part, what, needed, inStock, earlierLines },
      short: Math.max(0, needed - left),
      take: takeFrom(lots, earlierLines, Math.min(needed, left)),
    }
  })
}

/** Due sooner, or on the same day and higher in the file. */
function comesBefore(other: OrderLine, line: OrderLine, orders: OrderLine[]): boolean {
  if (other === line) return false
  if (other.dueDate !== line.dueDate) return other.dueDate < line.dueDate
  return orders.indexOf(other) < orders.indexOf(line)
}

function piecesOf(line: OrderLine, { parts, startOf }: KitQuestion): Map<string, number> {
  const leads = startOf(line)
  const needs = new Map<string, number>()
  const add = (part: string, pieces: number) => needs.set(part, (needs.get(part) ?? 0) + pieces)
  for (const end of [line.connA, line.connB]) {
    if (end === null) continue
    add(end, leads)
    for (const kit of parts) if (kit.connector === end) add(kit.part, kit.pieces * leads)
  }
  for (const kit of parts) if (kit.connector === null) add(kit.part, kit.pieces * leads)
  return needs
}

/** First in, first out, behind what the earlier lines take. */
function takeFrom(lots: KitStock[], skip: number, wanted: number): KitNeed['take'] {
  const take: KitNeed['take'] = []
  for (const { lot, pieces } of lots) {
    const free = Math.max(0, pieces - skip)
    skip = Math.max(0, skip - pieces)
    const taken = Math.min(free, wanted)
    if (taken > 0) take.push({ lot, pieces: taken })
    wanted -= taken
  }
  return take
}
