import type { RewindingLine } from '../hall/rewinding-line.ts'
import { orderKey } from '../plan/catalog.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { SLACK_UM } from '../plan/tally.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { type UsableDrum, usableDrum } from '../strip/usable.ts'
import type { PlanOrigin } from './event.ts'
import { doneCuts } from './plan-done.ts'
import { PieceNames } from './plan-names.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow } from './state-rows.ts'
import { inwardOf, inwardUm, outerUm } from './strip-place.ts'

/** A plan with what its places and numbers mean. */
export interface PlacedPlan {
  mountings: Mounting[]
  /** Where each drum's outer end lay when it was made. */
  origins: PlanOrigin[]
  /** Order lines as they were open then. */
  orders: PlanInput['orders']
}

/** One mounting of which something is left, in places of the works as it is now. */
export interface OpenMounting extends Mounting {
  /** Its place in the plan's list of mountings, from 0. */
  index: number
}

/**
 * What is left of a plan, in places of worksNow and with its numbers of pieces. Cuts that were made are dropped; a piece keeps
 * its length; scrap, remnants and ends keep their inner edge on the strip and take up what earlier cuts were longer or
 * shorter than planned; a piece beyond what is on the drum is dropped. Whether each piece still lies in clean cable is for
 * plan/verify to say. Where nothing happened it is the plan itself.
 */
export function planNow(plan: PlacedPlan, open: LedgerState, now: PlanInput): OpenMounting[] {
  const origins = new Map(plan.origins.map((o) => [o.drum, o]))
  const then = new Map(plan.orders.map((o) => [orderKey(o.order, o.line), o]))
  const rests: Rest[] = []
  for (const drum of new Set(plan.mountings.map((m) => m.drum))) {
    const row = open.drums.get(drum)
    const origin = origins.get(drum)
    const usable = usableNow(drum, now)
    if (!row || !origin || !usable || row.outer !== origin.outer || row.strip !== origin.strip) continue
    const own = plan.mountings.flatMap((m, index) => (m.drum === drum ? [{ ...m, index }] : []))
    const done = doneCuts(own, row, origin, open, then)
    rests.push(...own.map((m, n) => ({ ...m, intervals: m.intervals.slice(done[n]), row, origin, usable })))
  }
  rests.sort((a, b) => a.index - b.index)
  const names = new PieceNames(then, now.orders)
  const named = rests.map((rest) => ({
    ...rest,
    intervals: rest.intervals.flatMap((i) => nowNamed(i, names)),
  }))
  const laid = [...new Set(named.map((r) => r.drum))].flatMap((d) =>
    laidOut(
      named.filter((r) => r.drum === d),
      now.site.lines,
    ),
  )
  return laid.sort((a, b) => a.index - b.index)
}

/** Whether anything of it is still to be cut: what only stays on the drum, or is its inner end, is not. */
export function hasCuts({ intervals }: Pick<Mounting, 'intervals'>): boolean {
  return intervals.some(
    (i) => i.use === 'piece' || i.use === 'scrap' || (i.use === 'remnant' && i.putup !== null),
  )
}

/** What was not cut of one mounting, in the plan's places. */
interface Rest extends OpenMounting {
  row: DrumRow
  origin: PlanOrigin
  usable: UsableDrum
}

/** A drum as it lies in the hall; null where there is none of that number. */
export function usableNow(drum: string, now: PlanInput): UsableDrum | null {
  const found = now.drums.find((d) => d.drum === drum)
  if (!found) return null
  const marks = now.marks.filter((m) => m.drum === drum)
  const faults = now.faults.filter((f) => f.drum === drum)
  return usableDrum(found, marks, faults, now.site.cutRules)
}

function nowNamed(interval: Interval, names: PieceNames): Interval[] {
  if (interval.use !== 'piece') return [interval]
  const named = names.now(interval)
  return named ? [named] : []
}

/** The mountings of one drum, laid from its outer end as it is now. */
function laidOut(rests: Rest[], lines: RewindingLine[]): OpenMounting[] {
  const left: OpenMounting[] = []
  let atUm = 0
  for (const [n, rest] of rests.entries()) {
    const last = n === rests.length - 1
    const intervals = laidIntervals(rest, atUm, left.length === 0 && last)
    if (intervals.length === 0 || (!last && !hasCuts({ intervals }))) continue
    const { mountedOn } = rest.row
    const there = left.length === 0 && mountedOn !== null && windsAll(mountedOn, intervals, lines)
    const line = there ? mountedOn : rest.line
    left.push({ drum: rest.drum, line, intervals, index: rest.index })
    atUm = intervals.find((i) => i.use === 'remnant' && i.putup === null)?.fromUm ?? rest.usable.lengthUm
  }
  return left
}

/**
 * Whether a drum that stands on another line than planned can be cut there: it is then, and else it has to go on. A repair may
 * have planned it for another line while it stood there.
 */
function windsAll(place: string, intervals: Interval[], lines: RewindingLine[]): boolean {
  const putups = lines.find((l) => l.id === place)?.takeupPutups ?? []
  return intervals.every(
    (i) => (i.use !== 'piece' && i.use !== 'remnant') || i.putup === null || putups.includes(i.putup),
  )
}

/** `whole`: to the inner end of the drum, since nothing else of the plan takes it. */
function laidIntervals(
  { intervals, row, origin, usable }: Rest,
  startUm: LengthUm,
  whole: boolean,
): Interval[] {
  const laid: Interval[] = []
  let atUm = startUm
  const lay = (interval: Interval, toUm: LengthUm) => {
    laid.push({ ...interval, fromUm: atUm, toUm })
    atUm = toUm
  }
  // the outer end as it is now, whatever the plan took it for
  if (startUm === 0 && usable.good.fromUm > 0)
    lay({ fromUm: 0, toUm: usable.good.fromUm, use: 'end' }, usable.good.fromUm)
  for (const [n, interval] of intervals.entries()) {
    const last = n === intervals.length - 1
    if (interval.use === 'end' && !last) continue
    if (interval.use === 'piece') {
      const toUm = atUm + interval.toUm - interval.fromUm
      // a drum that ran out, or that has less on it than was booked, ends before it: it is to be cut elsewhere
      if (toUm <= usable.good.toUm + SLACK_UM) lay(interval, toUm)
      continue
    }
    // of a drum that ran out the plan goes on beyond its end
    const placeUm = Math.min(placeNow(interval.toUm, row, origin), usable.lengthUm)
    const toUm =
      (last && whole) || Math.abs(placeUm - usable.lengthUm) <= SLACK_UM ? usable.lengthUm : placeUm
    if (interval.use === 'end' && atUm < usable.good.toUm - SLACK_UM) {
      // less is lost at the inner end than the plan took, or the cuts before it were shorter
      const stays = laid.at(-1)
      if (stays?.use === 'remnant' && stays.putup === null) stays.toUm = atUm = usable.good.toUm
      else lay({ fromUm: atUm, toUm: usable.good.toUm, use: 'scrap', cause: 'short rest' }, usable.good.toUm)
    }
    // what is left of an interval by no more than rounding is not left
    const left = interval.toUm > interval.fromUm ? toUm > atUm + SLACK_UM : toUm === atUm
    if (left) lay(interval, toUm)
  }
  const { lengthUm } = usable
  if (whole && atUm < lengthUm)
    lay({ fromUm: atUm, toUm: lengthUm, use: 'scrap', cause: 'short rest' }, lengthUm)
  return laid
}

/** A place of the plan as it is counted now: true length from the drum's outer end, below nought where it is cut off. */
function placeNow(placeUm: LengthUm, row: DrumRow, origin: PlanOrigin): LengthUm {
  const onStrip = inwardOf({ ...row, ratio: origin.ratio }, origin.outerUm, placeUm)
  return inwardUm(row, outerUm(row), onStrip)
}
