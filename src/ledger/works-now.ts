import type { PlanInput } from '../plan/plan-input.ts'
import { SLACK_UM } from '../plan/tally.ts'
import { groupBy } from '../quantity/group-by.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import type { Fault } from '../strip/fault.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import { ordersNow } from './orders-now.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, FaultRow, StripMark, StripRow } from './state-rows.ts'
import { inwardUm, outerUm, trueUm } from './strip-place.ts'

/**
 * The works as it is now: drums as the ledger holds them, places counted from the outer end as it lies today, true lengths;
 * faults that are known today; order lines as far as they are still open. Where there is no ledger, the works itself.
 * `open` must hold all drums that are not empty with their strips and faults, and all pieces of the works' order lines.
 * `dayOf` gives the works' day of an instant (works-day.ts); without it the clock's.
 */
export function worksNow(
  works: PlanInput,
  open: LedgerState,
  dayOf = (at: string) => at.slice(0, 10),
): PlanInput {
  if (open.drums.rows().next().done) return works
  const drums: Drum[] = []
  const marks: MarkSegment[] = []
  const faults: Fault[] = []
  const faultsOf = groupBy(open.faults.rows(), ({ strip }) => strip)
  for (const row of inFileOrder(works, open)) {
    const strip = open.strips.get(row.strip)
    if (!strip) continue
    const lengthUm = trueUm(row)
    const segments = marksOn(row, strip, lengthUm)
    drums.push({ ...drumNow(works, row, strip, lengthUm), receivedDate: dayOf(strip.receivedAt) })
    marks.push(...segments)
    for (const fault of faultsOf.get(row.strip) ?? [])
      if (reachesInto(fault, row, works.site.cutRules.faultMarginUm))
        faults.push(faultNow(fault, row, segments))
  }
  return { ...works, drums, marks, faults, orders: ordersNow(works, open.pieces.rows()) }
}

/** Drums of the folder in its order, those that came later behind them; empty ones left out. */
function inFileOrder(works: PlanInput, open: LedgerState): DrumRow[] {
  const place = new Map(works.drums.map((d, i) => [d.drum, i]))
  const at = (row: DrumRow) => place.get(row.drum) ?? place.size
  return [...open.drums.rows()]
    .filter((row) => row.toUm > row.fromUm)
    .sort((a, b) => at(a) - at(b) || (a.drum < b.drum ? -1 : 1))
}

function drumNow(
  works: PlanInput,
  row: DrumRow,
  strip: StripRow,
  lengthUm: LengthUm,
): Omit<Drum, 'receivedDate'> {
  const tareKg = row.tareKg ?? works.putups.find((p) => p.putup === row.putup)?.tareKg ?? 0
  const whole = row.fromUm === 0 && row.toUm === strip.lengthUm
  const massKgKm = works.cables.find((c) => c.cable === strip.cable)?.massKgKm ?? 0
  return {
    drum: row.drum,
    cable: strip.cable,
    lot: strip.lot,
    kind: row.kind,
    putup: row.putup,
    bookUm: lengthUm,
    rewinds: row.rewinds,
    location: row.mountedOn === null ? row.place : `on ${row.mountedOn}`,
    status: row.status,
    // what was cut off weighs no more: then the mass of what is left
    grossKg: whole && row.grossKg !== null ? row.grossKg : tareKg + (lengthUm / 1e9) * massKgKm,
    tareKg,
    endCaps: row.endCaps,
    note: row.reason,
    ledger: { outerFresh: row.outerFresh, mountedOn: row.mountedOn },
  }
}

/** The strip's marks as far as they lie on the drum, from its outer end inwards. */
function marksOn(row: DrumRow, { marks }: StripRow, lengthUm: LengthUm): MarkSegment[] {
  const inwards = row.outer === 'from' ? marks : [...marks].reverse()
  const segments: MarkSegment[] = []
  for (const mark of inwards) {
    const fromUm = Math.max(mark.fromUm, row.fromUm)
    const toUm = Math.min(mark.toUm, row.toUm)
    if (toUm <= fromUm) continue
    const [outer, inner] = row.outer === 'from' ? [fromUm, toUm] : [toUm, fromUm]
    const last = inner === (row.outer === 'from' ? row.toUm : row.fromUm)
    segments.push({
      drum: row.drum,
      segment: segments.length + 1,
      fromUm: placeOn(row, outer),
      toUm: last ? lengthUm : placeOn(row, inner),
      markFrom: markIn(mark, outer),
      markTo: markIn(mark, inner),
      printUnit: mark.printUnit,
    })
  }
  return segments
}

/** Mark at a place of its own stretch; its ends exactly as they are recorded. */
function markIn({ fromUm, toUm, markFrom, markTo }: StripMark, placeUm: LengthUm): number | null {
  if (markFrom === null || markTo === null) return null
  if (placeUm === toUm) return markTo
  return markFrom + ((placeUm - fromUm) / (toUm - fromUm)) * (markTo - markFrom)
}

/** True length from the drum's outer end to a place of its strip. */
function placeOn(row: DrumRow, placeUm: LengthUm): LengthUm {
  return inwardUm(row, outerUm(row), placeUm)
}

/** A zone that reaches into the drum by no more than rounding does not. */
function reachesInto(fault: FaultRow, row: DrumRow, marginUm: LengthUm): boolean {
  const wideUm = fault.uncUm + marginUm - SLACK_UM
  return !fault.withdrawn && fault.fromUm - wideUm < row.toUm && fault.toUm + wideUm > row.fromUm
}

function faultNow(fault: FaultRow, row: DrumRow, segments: MarkSegment[]): Fault {
  const a = placeOn(row, fault.fromUm)
  const b = placeOn(row, fault.toUm)
  const [fromUm, toUm] = a <= b ? [a, b] : [b, a]
  const segment = segments.find((s) => fromUm <= s.toUm) ?? segments[segments.length - 1]
  const markAt = (placeUm: LengthUm) => (segment ? markOf(segment, placeUm) : 0)
  return {
    fault: fault.fault,
    drum: row.drum,
    segment: segment?.segment ?? 1,
    code: fault.code,
    what: fault.what,
    severity: fault.severity,
    markFrom: markAt(fromUm),
    markTo: markAt(toUm),
    positionSource: fault.source,
    posUncUm: fault.uncUm,
    foundAt: fault.foundAt,
    foundDate: fault.foundDate,
    placeUm: { fromUm, toUm },
  }
}

/** To a hundredth, as marks are written; nought where nothing is printed: then the place says where. */
function markOf({ fromUm, toUm, markFrom, markTo }: MarkSegment, placeUm: LengthUm): number {
  if (markFrom === null || markTo === null) return 0
  const mark = markFrom + ((placeUm - fromUm) / (toUm - fromUm)) * (markTo - markFrom)
  return Math.round(mark * 100) / 100
}
