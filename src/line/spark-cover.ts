import type { LengthUm } from '../quantity/length.ts'
import type { Interval } from '../strip/cut-plan.ts'
import type { Stretch } from '../strip/usable.ts'

/** What of a strip one mounting takes through the electrode. */
export interface SparkRun {
  intervals: Interval[]
  /** Electrode to cutter. */
  toCutterUm: LengthUm
  /** Drum to electrode: what hangs in the line when the inner end leaves the drum, and its earth with it. */
  fromDrumUm: LengthUm
}

/** A stretch that this mounting does not test, and that no record shows as tested. */
export interface UntestedStretch extends Stretch {
  at: 'start' | 'end'
  /** Numbers of the cuts, from 1, whose pieces lie in it: each is held until the stretch has been tested. */
  holds: number[]
  /** How it is covered, one sentence. */
  cover: string
}

/**
 * What the electrode sees: all but what is threaded past it at the start and, where the drum runs out, what is left in the
 * line once the earth bond at the drum is gone. What is cut later has passed the electrode one distance electrode–cutter earlier.
 */
export function sparkTested(run: SparkRun): Stretch {
  const { fromUm, toUm, ranOut, lastCutUm } = extent(run.intervals)
  const start = fromUm + run.toCutterUm
  const end = ranOut ? toUm - run.fromDrumUm : Math.min(toUm, lastCutUm + run.toCutterUm)
  return { fromUm: start, toUm: Math.max(start, end) }
}

/** `tested`: stretches of this strip that are on record, or that earlier mountings of the plan test; null: nothing is recorded. */
export function untestedStretches(run: SparkRun, tested: Stretch[] | null): UntestedStretch[] {
  const { fromUm, toUm, ranOut, lastCutUm } = extent(run.intervals)
  if (toUm <= fromUm) return []
  const seen = sparkTested(run)
  const startEnd = Math.min(seen.fromUm, ranOut ? toUm : lastCutUm)
  const open: { at: 'start' | 'end'; stretch: Stretch }[] = [
    { at: 'start', stretch: { fromUm, toUm: startEnd } },
    ...(ranOut ? [{ at: 'end' as const, stretch: { fromUm: Math.max(seen.toUm, startEnd), toUm } }] : []),
  ]
  return open.flatMap(({ at, stretch }) =>
    without(stretch, tested ?? []).map((left) => {
      const holds = cutsIn(run.intervals, left)
      return { ...left, at, holds, cover: coverText(at, holds) }
    }),
  )
}

function coverText(at: 'start' | 'end', holds: number[]): string {
  if (holds.length === 0) return 'Only scrap or rest lies in it: nothing to cover.'
  return at === 'start'
    ? 'Tie the outer end to a leader and draw it through with the tester on, or show an earlier spark test of it; until then the piece is held.'
    : 'Bond the wound end at the take-up to earth before the inner end leaves the drum, and leave the tester on; or show an earlier spark test of it; until then the piece is held.'
}

/** From where to where a mounting runs, and whether the drum runs out. */
function extent(intervals: Interval[]): Stretch & { ranOut: boolean; lastCutUm: LengthUm } {
  const first = intervals[0]
  const last = intervals[intervals.length - 1]
  if (!first || !last) return { fromUm: 0, toUm: 0, ranOut: false, lastCutUm: 0 }
  const stays = intervals.find((i) => i.use === 'remnant' && i.putup === null)
  const cut = intervals.findLast((i) => i.use !== 'end' && !(i.use === 'remnant' && i.putup === null))
  const lastCutUm = stays ? stays.fromUm : (cut?.toUm ?? first.fromUm)
  // with a rest on the drum nothing of its inner end comes through
  return { fromUm: first.fromUm, toUm: last.toUm, ranOut: !stays, lastCutUm }
}

/** What is left of a stretch when others are taken out of it. */
function without(stretch: Stretch, others: Stretch[]): Stretch[] {
  let left = [stretch]
  for (const other of others)
    left = left.flatMap((s) => [
      { fromUm: s.fromUm, toUm: Math.min(s.toUm, other.fromUm) },
      { fromUm: Math.max(s.fromUm, other.toUm), toUm: s.toUm },
    ])
  return left.filter((s) => s.toUm > s.fromUm)
}

function cutsIn(intervals: Interval[], stretch: Stretch): number[] {
  return intervals.flatMap((interval, i) =>
    interval.use === 'piece' && interval.fromUm < stretch.toUm && interval.toUm > stretch.fromUm
      ? [i + 1]
      : [],
  )
}
