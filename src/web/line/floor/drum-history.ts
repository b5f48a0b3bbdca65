import type { LengthUm } from '../../../quantity/length.ts'
import type { Interval, Mounting } from '../../../strip/cut-plan.ts'
import type { MarkSegment } from '../../../strip/mark-segment.ts'
import type { Stretch, UsableDrum } from '../../../strip/usable.ts'
import type { FloorCut } from '../../../works/floor-api.ts'

/** What this station saw cut from the mounted drum: places from the outer end as it was when it was first seen. */
export interface DrumHistory {
  drum: string
  done: Interval[]
  /** True length that went off since then. */
  takenUm: LengthUm
  /** The last drawing: what is gone of it by the next view was cut meanwhile. */
  usable: UsableDrum
  mounting: Mounting
}

type Drawn = { usable: UsableDrum; mounting: Mounting }

/** Differences below this come from rounding. */
const ROUND_UM = 1000
const MOST_DONE = 500
/** No cut is so short, in numbers of the print. */
const SAME_MARK = 0.005

/** The history with what went off between the last view and this one; begins anew with another drum. */
export function historyAfter(before: DrumHistory | null, drawn: Drawn | null): DrumHistory | null {
  if (!drawn) return before
  const { drum } = drawn.mounting
  if (!before || before.drum !== drum) return { drum, done: [], takenUm: 0, ...drawn }
  const goneUm = before.usable.lengthUm - drawn.usable.lengthUm
  if (goneUm < ROUND_UM || isSameEnd(before.usable, drawn.usable)) return { ...before, ...drawn }
  const done = [
    ...before.done,
    ...goneOf(before.mounting.intervals, goneUm).map((i) => moved(i, before.takenUm)),
  ]
  return { drum, done: done.slice(-MOST_DONE), takenUm: before.takenUm + goneUm, ...drawn }
}

/** The same mark at the outer end: the rest was measured anew, and nothing was cut. */
function isSameEnd(before: UsableDrum, now: UsableDrum): boolean {
  const [was, is] = [before.segments[0]?.markFrom ?? null, now.segments[0]?.markFrom ?? null]
  return was !== null && is !== null && Math.abs(was - is) < SAME_MARK
}

/** The intervals that went off with the first `goneUm`, and as scrap what was cut of none of them. */
function goneOf(intervals: Interval[], goneUm: LengthUm): Interval[] {
  const whole = intervals.filter((i) => i.toUm <= goneUm + ROUND_UM)
  const atUm = whole.at(-1)?.toUm ?? 0
  if (goneUm - atUm < ROUND_UM) return whole
  return [...whole, { fromUm: atUm, toUm: goneUm, use: 'scrap', cause: 'cut off' }]
}

/**
 * The drum with what was cut from it, as one drawing: the places of now lie inward of what is done. `done` is how many
 * of its first intervals are.
 */
export function drawnWithDone(history: DrumHistory): Drawn & { done: number } {
  const { usable, mounting, takenUm: by, done } = history
  const zone = <T extends Stretch>(z: T): T => ({ ...z, fromUm: z.fromUm + by, toUm: z.toUm + by })
  return {
    usable: {
      ...usable,
      lengthUm: usable.lengthUm + by,
      segments: usable.segments.map((s, i) => movedSegment(s, by / usable.scale, i === 0)),
      good: zone(usable.good),
      zones: usable.zones.map((z) => ({
        ...zone(z),
        coreFromUm: z.coreFromUm + by,
        coreToUm: z.coreToUm + by,
      })),
      clean: usable.clean.map(zone),
    },
    mounting: { ...mounting, intervals: [...done, ...mounting.intervals.map((i) => moved(i, by))] },
    done: done.length,
  }
}

/** The first segment is drawn on outwards over what is done, as its print ran there. */
function movedSegment(segment: MarkSegment, byUm: LengthUm, first: boolean): MarkSegment {
  const to = { ...segment, fromUm: segment.fromUm + byUm, toUm: segment.toUm + byUm }
  const { markFrom, markTo } = segment
  if (!first || markFrom === null || markTo === null || segment.toUm <= segment.fromUm) return to
  const perUm = (markTo - markFrom) / (segment.toUm - segment.fromUm)
  return { ...to, fromUm: 0, markFrom: markFrom - perUm * to.fromUm }
}

/** Numbers of the cuts as the drawing has them: on from what was cut here before. */
export function numberedOn(cuts: FloorCut[], { done }: Pick<DrumHistory, 'done'>): FloorCut[] {
  return cuts.map((cut) => {
    const number = Number(cut.row.cut)
    return Number.isNaN(number) ? cut : { ...cut, row: { ...cut.row, cut: String(done.length + number) } }
  })
}

function moved(interval: Interval, byUm: LengthUm): Interval {
  return { ...interval, fromUm: interval.fromUm + byUm, toUm: interval.toUm + byUm }
}
