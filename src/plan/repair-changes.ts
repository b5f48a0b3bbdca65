import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting, PieceInterval } from '../strip/cut-plan.ts'
import { orderKey } from './catalog.ts'

/** Where something lies. */
export interface CutPlace {
  drum: string
  line: string
  fromUm: LengthUm
  toUm: LengthUm
}

/** One thing that a new plan does otherwise than the old one. What is shifted stays on its drum and line. */
export type PlanChange =
  | {
      kind: 'moved' | 'shifted'
      order: string
      orderLine: number
      count: number
      from: CutPlace
      to: CutPlace
    }
  | { kind: 'new' | 'dropped'; order: string; orderLine: number; count: number; at: CutPlace }
  | { kind: 'new remnant' | 'dropped remnant'; putup: string | null; at: CutPlace }
  | { kind: 'new mounting' | 'dropped mounting'; drum: string; line: string }

interface Placed<T extends Interval> {
  place: CutPlace
  interval: T
}

/**
 * What changed from one plan to another, pieces first. Pieces of one order line are alike, so those that lie where one lay
 * before are no change, whatever their number.
 */
export function planChanges(before: Mounting[], after: Mounting[]): PlanChange[] {
  return [...pieceChanges(before, after), ...remnantChanges(before, after), ...mountingChanges(before, after)]
}

function pieceChanges(before: Mounting[], after: Mounting[]): PlanChange[] {
  const changes: PlanChange[] = []
  const olds = byOrder(before)
  const news = byOrder(after)
  for (const key of new Set([...olds.keys(), ...news.keys()])) {
    const gone = [...(olds.get(key) ?? [])]
    const come: Placed<PieceInterval>[] = []
    for (const piece of news.get(key) ?? []) {
      const same = gone.findIndex((g) => samePlace(g, piece))
      if (same >= 0) gone.splice(same, 1)
      else come.push(piece)
    }
    for (const { place, interval } of come) {
      const { order, orderLine, count } = interval
      const old = takeLike(gone, place, count)
      const shifted = old && old.place.drum === place.drum && old.place.line === place.line
      if (old)
        changes.push({
          kind: shifted ? 'shifted' : 'moved',
          order,
          orderLine,
          count,
          from: old.place,
          to: place,
        })
      else changes.push({ kind: 'new', order, orderLine, count, at: place })
    }
    for (const { place, interval } of gone) {
      const { order, orderLine, count } = interval
      changes.push({ kind: 'dropped', order, orderLine, count, at: place })
    }
  }
  return changes
}

/** The piece that this one was before: best one of the same drum and line. */
function takeLike(
  gone: Placed<PieceInterval>[],
  { drum, line }: CutPlace,
  count: number,
): Placed<PieceInterval> | undefined {
  const like = gone.filter((g) => g.interval.count === count)
  const old = like.find((g) => g.place.drum === drum && g.place.line === line) ?? like[0]
  if (old) gone.splice(gone.indexOf(old), 1)
  return old
}

function byOrder(mountings: Mounting[]): Map<string, Placed<PieceInterval>[]> {
  const byKey = new Map<string, Placed<PieceInterval>[]>()
  for (const placed of placedOf(mountings, (i): i is PieceInterval => i.use === 'piece')) {
    const key = orderKey(placed.interval.order, placed.interval.orderLine)
    const known = byKey.get(key)
    if (known) known.push(placed)
    else byKey.set(key, [placed])
  }
  return byKey
}

function placedOf<T extends Interval>(mountings: Mounting[], is: (i: Interval) => i is T): Placed<T>[] {
  return mountings.flatMap(({ drum, line, intervals }) =>
    intervals
      .filter(is)
      .map((interval) => ({ interval, place: { drum, line, fromUm: interval.fromUm, toUm: interval.toUm } })),
  )
}

function samePlace(a: Placed<Interval>, b: Placed<Interval>): boolean {
  return (
    a.place.drum === b.place.drum &&
    a.place.line === b.place.line &&
    a.place.fromUm === b.place.fromUm &&
    a.place.toUm === b.place.toUm &&
    ('count' in a.interval ? a.interval.count : 1) === ('count' in b.interval ? b.interval.count : 1)
  )
}

type Remnant = Extract<Interval, { use: 'remnant' }>
const isRemnant = (i: Interval): i is Remnant => i.use === 'remnant'

function remnantChanges(before: Mounting[], after: Mounting[]): PlanChange[] {
  const gone = placedOf(before, isRemnant)
  const changes: PlanChange[] = []
  for (const { place, interval } of placedOf(after, isRemnant)) {
    const same = gone.findIndex(
      (g) => samePlace(g, { place, interval }) && g.interval.putup === interval.putup,
    )
    if (same >= 0) gone.splice(same, 1)
    else changes.push({ kind: 'new remnant', putup: interval.putup, at: place })
  }
  for (const { place, interval } of gone)
    changes.push({ kind: 'dropped remnant', putup: interval.putup, at: place })
  return changes
}

function mountingChanges(before: Mounting[], after: Mounting[]): PlanChange[] {
  const changes: PlanChange[] = []
  const has = (list: Mounting[], m: Mounting) => list.some((x) => x.drum === m.drum && x.line === m.line)
  for (const m of after)
    if (!has(before, m)) changes.push({ kind: 'new mounting', drum: m.drum, line: m.line })
  for (const m of before)
    if (!has(after, m)) changes.push({ kind: 'dropped mounting', drum: m.drum, line: m.line })
  return changes
}
