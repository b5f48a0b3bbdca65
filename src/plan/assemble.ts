import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { type Catalog, orderKey } from './catalog.ts'
import type { TypeInstance } from './instance.ts'
import type { Item } from './item.ts'
import { type LaidInterval, laidIntervals, type Pattern } from './pattern.ts'
import type { TypeSolution } from './type-solution.ts'

/** One cable type with the patterns chosen for it. */
export interface Chosen {
  instance: TypeInstance
  solution: TypeSolution
}

/** Pieces of an order line still to be given out. */
interface Quota {
  key: string
  order: string
  line: number
  left: number
  next: number
  due: string
}

/** Makes mountings of patterns: in the order in which each line runs them, each piece given to an order line. */
export function assemble(catalog: Catalog, chosen: Chosen[]): Mounting[] {
  const mountings: Mounting[] = []
  for (const { instance, pattern, quotas } of inRunningOrder(catalog, chosen))
    mountings.push({
      drum: instance.drums[pattern.drum]!.usable.drum.drum,
      line: instance.drums[pattern.drum]!.places[pattern.place]!.id,
      intervals: intervalsOf(catalog, instance, pattern, quotas),
    })
  return mountings
}

interface Run {
  instance: TypeInstance
  pattern: Pattern
  quotas: Map<number, Quota[]>
  due: string
}

/** By line; on a line by cable, the cable that is due soonest first; within a cable the drum that is due soonest. */
function inRunningOrder(catalog: Catalog, chosen: Chosen[]): Run[] {
  const runs: Run[] = []
  for (const { instance, solution } of chosen) {
    const numbered = new Map<string, number>()
    const quotas = new Map(
      instance.items.map((item) => [item.index, quotasOf(item, solution.missing[item.index]!, numbered)]),
    )
    for (const pattern of solution.patterns)
      runs.push({ instance, pattern, quotas, due: dueOf(instance, pattern) })
  }
  const places = [...catalog.lines.keys(), ...catalog.benches.keys()]
  const placeOf = (r: Run) => places.indexOf(r.instance.drums[r.pattern.drum]!.places[r.pattern.place]!.id)
  const cableDue = new Map<string, string>()
  const cableKey = (r: Run) => `${placeOf(r)}:${r.instance.cable.cable}`
  for (const run of runs) {
    const due = cableDue.get(cableKey(run))
    if (due === undefined || run.due < due) cableDue.set(cableKey(run), run.due)
  }
  return runs.sort(
    (a, b) =>
      placeOf(a) - placeOf(b) ||
      cableDue.get(cableKey(a))!.localeCompare(cableDue.get(cableKey(b))!) ||
      a.instance.cable.cable.localeCompare(b.instance.cable.cable) ||
      a.due.localeCompare(b.due) ||
      a.pattern.drum - b.pattern.drum,
  )
}

function dueOf(instance: TypeInstance, pattern: Pattern): string {
  let due = '9999'
  for (const item of pattern.amounts.keys())
    if (instance.items[item]!.earliestDue < due) due = instance.items[item]!.earliestDue
  return due
}

/**
 * What is served goes to the most valuable lines; what is cut first to those due first. `numbered`: pieces that have a number, by order
 * line, for a line whose pieces come in parts is an item for each of them.
 */
function quotasOf(item: Item, missing: number, numbered: Map<string, number>): Quota[] {
  let served = item.demand - Math.ceil(missing - 1e-7)
  const quotas: Quota[] = []
  for (const { order, pieces } of item.lines) {
    const left = Math.min(pieces, served)
    served -= left
    const key = orderKey(order.order, order.line)
    const given = numbered.get(key) ?? 0
    numbered.set(key, given + left)
    quotas.push({
      key,
      order: order.order,
      line: order.line,
      left,
      next: 1 + given,
      due: order.dueDate,
    })
  }
  return quotas.filter((q) => q.left > 0).sort((a, b) => a.due.localeCompare(b.due))
}

function intervalsOf(
  catalog: Catalog,
  instance: TypeInstance,
  pattern: Pattern,
  quotas: Map<number, Quota[]>,
): Interval[] {
  const intervals: Interval[] = []
  for (const laid of laidIntervals(catalog, instance.items, instance.drums[pattern.drum]!, pattern)) {
    if (laid.use !== 'piece') {
      intervals.push(laid)
      continue
    }
    const piece = pieceOf(instance.items[laid.item]!, laid, quotas.get(laid.item)!)
    const last = intervals[intervals.length - 1]
    if (last?.use === 'piece' && piece.use === 'piece' && joins(instance.items[laid.item]!, last, piece)) {
      last.toUm = piece.toUm
      last.count += piece.count
    } else intervals.push(piece)
  }
  return intervals
}

/** Leads of one order line that lie side by side are one bench length. */
function joins(
  item: Item,
  last: Extract<Interval, { use: 'piece' }>,
  piece: Extract<Interval, { use: 'piece' }>,
): boolean {
  return (
    item.lead &&
    last.order === piece.order &&
    last.orderLine === piece.orderLine &&
    last.toUm === piece.fromUm &&
    last.piece + last.count === piece.piece
  )
}

/** Parts given so far of each piece that comes in parts. */
const partsGiven = new WeakMap<Quota, number>()

function pieceOf(item: Item, laid: Extract<LaidInterval, { use: 'piece' }>, quotas: Quota[]): Interval {
  const quota = quotas.find((q) => q.left > 0)
  if (!quota) throw new Error(`more pieces of item ${item.index} laid out than are served`)
  const place: { fromUm: LengthUm; toUm: LengthUm } = { fromUm: laid.fromUm, toUm: laid.toUm }
  const { putup } = item.options[laid.option]!
  let part = 1
  const piece = quota.next
  if (item.split) {
    part = (partsGiven.get(quota) ?? 0) + 1
    partsGiven.set(quota, part)
  } else {
    quota.left--
    quota.next++
  }
  return {
    ...place,
    use: 'piece',
    order: quota.order,
    orderLine: quota.line,
    piece,
    part,
    count: 1,
    declaredUm: laid.declaredUm,
    putup,
  }
}
