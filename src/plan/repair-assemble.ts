import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { type LaidInterval, laidIntervals, type Pattern } from './pattern.ts'
import type { FixedMounting } from './repair-fixed.ts'
import { type OpenType, stoppedWorth } from './repair-instance.ts'
import { PieceNumbers } from './repair-numbers.ts'
import { moved, type OldPattern } from './repair-pattern.ts'

/** One type with the plan chosen for what is still open of it. */
export interface Mended {
  type: OpenType
  old: OldPattern[]
  patterns: Pattern[]
}

/** A mounting of the new plan, and what it was in the old one. */
export interface NewMounting {
  mounting: Mounting
  /** Place in the old plan; null for a new one. */
  index: number | null
}

interface Laid {
  pattern: Pattern
  index: number | null
  /** Fixed part before it, of the same mounting. */
  before: Interval[]
  laid: LaidInterval[]
}

/**
 * The mountings of a mended type: fixed parts and what can stay as they were and where they were in the list, changed ones in
 * the place of the old one of their drum, new ones without a place.
 */
export function mendedMountings(
  old: Mounting[],
  { type, old: patterns, patterns: chosen }: Mended,
): NewMounting[] {
  const { instance, fixed } = type
  const made: NewMounting[] = []
  const changed: Laid[] = []
  const left = new Set(chosen)
  for (const o of patterns) {
    const pattern = chosen.find((p) => p.drum === o.drum)
    const before = fixed.get(old[o.index]!.drum)
    if (pattern) left.delete(pattern)
    if (pattern && pattern === o.pattern && o.stays)
      made.push({ index: o.index, mounting: staying(old, o, before) })
    else if (pattern && placeOf(type, pattern) === old[o.index]!.line)
      changed.push({ pattern, index: o.index, before: before?.intervals ?? [], laid: laidOf(type, pattern) })
    else {
      if (pattern) left.add(pattern)
      if (before) made.push({ index: o.index, mounting: closed(type, old, before, pattern !== undefined) })
    }
  }
  for (const pattern of left) changed.push(beyondOld(type, pattern, made))
  // drums that were begun and are in no old pattern: finished, or taken off the line
  for (const begun of type.allFixed) {
    const known = [...made, ...changed].some((m) => m.index === begun.index)
    const again = chosen.some((p) => instance.drums[p.drum]!.usable.drum.drum === begun.drum)
    if (!known) made.push({ index: begun.index, mounting: closed(type, old, begun, again) })
  }
  const numbers = new PieceNumbers(type, old, [
    ...made.flatMap((m) => m.mounting.intervals),
    ...changed.flatMap((c) => c.before),
  ])
  const drumOf = (p: Pattern) => instance.drums[p.drum]!.usable.drum.drum
  const pieces = changed.flatMap((c) => {
    const drum = drumOf(c.pattern)
    const fromUm = startOf(type, drum)
    return c.laid.flatMap((i) => (i.use === 'piece' ? [{ ...shifted(i, fromUm), drum }] : []))
  })
  const named = numbers.give(pieces)
  for (const { pattern, index, before, laid } of changed) {
    const fromUm = startOf(type, drumOf(pattern))
    const after = laid.map((i) => (i.use === 'piece' ? named.shift()! : moved(i as Interval, fromUm)))
    const intervals = [...before, ...joined(after)]
    made.push({ index, mounting: { drum: drumOf(pattern), line: placeOf(type, pattern), intervals } })
  }
  return made
}

function shifted<T extends LaidInterval>(interval: T, byUm: LengthUm): T {
  return { ...interval, fromUm: interval.fromUm + byUm, toUm: interval.toUm + byUm }
}

function placeOf(type: OpenType, pattern: Pattern): string {
  return type.instance.drums[pattern.drum]!.places[pattern.place]!.id
}

function laidOf(type: OpenType, pattern: Pattern): LaidInterval[] {
  return laidIntervals(type.catalog, type.instance.items, type.instance.drums[pattern.drum]!, pattern)
}

/** Where the open part of a drum begins. */
function startOf(type: OpenType, drum: string): LengthUm {
  return type.fixed.get(drum)?.restUm?.fromUm ?? 0
}

/** A pattern of a drum that was in no mounting, or goes to another line, or goes on where a begun mounting stands. */
function beyondOld(type: OpenType, pattern: Pattern, made: NewMounting[]): Laid {
  const begun = type.fixed.get(type.instance.drums[pattern.drum]!.usable.drum.drum)
  const goesOn = begun?.open && begun.line === placeOf(type, pattern)
  if (!goesOn) return { pattern, index: null, before: [], laid: laidOf(type, pattern) }
  const at = made.findIndex((m) => m.index === begun.index)
  if (at >= 0) made.splice(at, 1)
  return { pattern, index: begun.index, before: begun.intervals, laid: laidOf(type, pattern) }
}

function staying(old: Mounting[], { index }: OldPattern, before: FixedMounting | undefined): Mounting {
  const mounting = old[index]!
  if (!before) return mounting
  return { ...mounting, intervals: [...before.intervals, ...mounting.intervals.slice(before.taken)] }
}

/** A begun mounting from which nothing more is cut; its rest is whole where it is mounted again. */
function closed(type: OpenType, old: Mounting[], begun: FixedMounting, again: boolean): Mounting {
  const { drum, line } = begun
  return { drum, line, intervals: [...begun.intervals, ...closing(type, old[begun.index]!, begun, again)] }
}

/** What follows the fixed part where nothing more is cut. */
export function closing(type: OpenType, old: Mounting, begun: FixedMounting, again = false): Interval[] {
  const { restUm } = begun
  const rest = old.intervals.slice(begun.taken)
  const finished = rest.every((i) => i.use === 'end')
  if (finished || !restUm) return rest
  const model = type.instance.drums.find((m) => m.usable.drum.drum === begun.drum)
  const place = model?.places.find((p) => p.id === begun.line)
  const keptToUm =
    begun.open && !again && model && place
      ? restUm.fromUm + stoppedWorth(type.catalog, model, place).keptToUm
      : restUm.toUm
  const intervals: Interval[] = []
  const goodToUm = model ? restUm.fromUm + model.usable.good.toUm : restUm.toUm
  if (keptToUm > restUm.fromUm)
    intervals.push({ fromUm: restUm.fromUm, toUm: keptToUm, use: 'remnant', putup: null })
  else if (goodToUm > restUm.fromUm)
    intervals.push({ fromUm: restUm.fromUm, toUm: goodToUm, use: 'scrap', cause: 'too short to keep' })
  const atUm = Math.max(keptToUm, goodToUm)
  if (restUm.toUm > atUm) intervals.push({ fromUm: atUm, toUm: restUm.toUm, use: 'end' })
  return intervals
}

/** Leads of one order line that lie side by side are one bench length. */
function joined(intervals: Interval[]): Interval[] {
  const result: Interval[] = []
  for (const interval of intervals) {
    const last = result[result.length - 1]
    const lead = interval.use === 'piece' && interval.putup === null
    if (
      lead &&
      last?.use === 'piece' &&
      last.putup === null &&
      last.order === interval.order &&
      last.orderLine === interval.orderLine &&
      last.piece + last.count === interval.piece
    ) {
      last.toUm = interval.toUm
      last.count += interval.count
    } else result.push({ ...interval })
  }
  return result
}

/**
 * The whole list: old mountings in their old order, each new one behind the last of its cable on its line, so that no change of
 * cable is added, or else at the end of that line.
 */
export function inOrder(mountings: NewMounting[], cableOf: (drum: string) => string): Mounting[] {
  const list = mountings.filter((m) => m.index !== null).sort((a, b) => a.index! - b.index!)
  const all = list.map((m) => m.mounting)
  for (const { mounting } of mountings.filter((m) => m.index === null)) {
    const onLine = (m: Mounting) => m.line === mounting.line
    const alike = (m: Mounting) => onLine(m) && cableOf(m.drum) === cableOf(mounting.drum)
    const sameDrum = all.findLastIndex((m) => m.drum === mounting.drum)
    const after = Math.max(all.findLastIndex(alike), sameDrum)
    const at = after >= 0 ? after : all.findLastIndex(onLine)
    if (at >= 0) all.splice(at + 1, 0, mounting)
    else all.push(mounting)
  }
  return all
}
