import type { LengthUm } from '../quantity/length.ts'
import type { Fault } from '../strip/fault.ts'
import type { CommandOf, FaultPlace } from './command.ts'
import type { LedgerContext } from './context.ts'
import type { EventBody } from './event.ts'
import { counterUncUm, MARK_UNC_UM } from './fault-unc.ts'
import { filledDrum, knownFault, knownLine, stretchesOf, stripOf } from './known.ts'
import { nextNumber } from './next-number.ts'
import { metres, refused } from './refuse.ts'
import type { LedgerState } from './state.ts'
import type { DrumRow, FaultRow, StripRow } from './state-rows.ts'
import { type MarkPlace, placeIn, placesOfMark } from './strip-marks.ts'
import { between, innerUm, inwardOf, inwardUm, outerUm } from './strip-place.ts'

interface Placed {
  fromUm: LengthUm
  toUm: LengthUm
  uncUm: number
  source: Fault['positionSource']
}

export function findFault(
  state: LedgerState,
  body: CommandOf<'find-fault'>,
  context: LedgerContext,
): EventBody {
  const { drum, place, ...seen } = body
  if (seen.line !== null) knownLine(context, seen.line)
  const row = filledDrum(state, drum)
  const placed =
    place.by === 'counter' ? byCounter(row, place) : byMark(stripOf(state, row), place, row, drum)
  return {
    ...seen,
    kind: 'fault-found',
    strip: row.strip,
    fault: nextNumber(state, 'fault'),
    foundDate: context.today,
    ...placed,
  }
}

/** By mark anywhere on its strip; by counter on the drum where the fault lies now. */
export function placeFault(state: LedgerState, { fault, place }: CommandOf<'place-fault'>): EventBody {
  const row = knownFault(state, fault)
  const strip = stripOf(state, row)
  const placed =
    place.by === 'counter'
      ? byCounter(drumOf(state, row), place)
      : byMark(strip, place, { fromUm: 0, toUm: strip.lengthUm }, `the strip ${strip.strip}`)
  return { kind: 'fault-placed', fault, ...placed }
}

export function withdrawFault(state: LedgerState, body: CommandOf<'withdraw-fault'>): EventBody {
  knownFault(state, body.fault)
  return { ...body, kind: 'fault-withdrawn' }
}

/** The boundary of two stretches moves, but not beyond their other ends. Leads that were made keep their bench length. */
export function moveCut(state: LedgerState, body: CommandOf<'move-cut'>): EventBody {
  const { strip, fromUm, toUm } = body
  if (!state.strips.get(strip)) throw refused(`The ledger has no strip ${strip}.`)
  const stretches = stretchesOf(state, strip)
  const at = stretches.findIndex((s) => s.fromUm === fromUm)
  const [before, after] = [stretches[at - 1], stretches[at]]
  if (!before || !after) throw refused(`There is no cut at ${metres(fromUm)} of the strip ${strip}.`)
  for (const { use, ref } of [before, after])
    if (use === 'piece' && (state.pieces.get(ref ?? '')?.leadsDone ?? 0) > 0)
      throw refused(`Leads have been made of ${ref}; its cuts stay where they are.`)
  if (toUm === fromUm) throw refused(`The cut lies at ${metres(fromUm)} already.`)
  if (toUm <= before.fromUm || toUm >= after.toUm)
    throw refused(
      `The cut at ${metres(fromUm)} can only lie between ${metres(before.fromUm)} and ${metres(after.toUm)}, the ends of what it parts.`,
    )
  return { ...body, kind: 'cut-moved' }
}

function byCounter(row: DrumRow, place: Extract<FaultPlace, { by: 'counter' }>): Placed {
  const outer = outerUm(row)
  const restUm = inwardUm(row, outer, innerUm(row))
  const farUm = Math.max(place.fromUm, place.toUm)
  if (Math.min(place.fromUm, place.toUm) < 0 || farUm > restUm)
    throw refused(
      `${row.drum} has ${metres(restUm)} left; a fault ${metres(farUm)} inward does not lie on it.`,
    )
  const stretch = between(inwardOf(row, outer, place.fromUm), inwardOf(row, outer, place.toUm))
  const known = row.markedUm ?? 0
  const sinceUm = Math.max(Math.abs(stretch.fromUm - known), Math.abs(stretch.toUm - known)) * row.ratio
  return {
    fromUm: Math.max(stretch.fromUm, row.fromUm),
    toUm: Math.min(stretch.toUm, row.toUm),
    uncUm: Math.max(counterUncUm(sinceUm), place.uncUm ?? 0),
    source: 'counter_only',
  }
}

type Within = Pick<DrumRow, 'fromUm' | 'toUm'>

function byMark(
  strip: StripRow,
  place: Extract<FaultPlace, { by: 'mark' }>,
  within: Within,
  name: string,
): Placed {
  const { markFrom, markTo } = place
  const first = oneOf(candidates(strip, markFrom, place.segment, within), markFrom, name, strip)
  const segment = strip.marks[first.segment - 1]
  const lastUm = segment ? placeIn(segment, markTo) : null
  if (lastUm === null || lastUm < within.fromUm || lastUm > within.toUm)
    throw refused(`Mark ${markTo} does not stand on ${name} in one run with mark ${markFrom}.`)
  return { ...between(first.placeUm, lastUm), uncUm: MARK_UNC_UM, source: 'mark_read' }
}

function candidates(strip: StripRow, mark: number, segment: number | null, within: Within): MarkPlace[] {
  return placesOfMark(strip, mark).filter(
    (p) =>
      (segment === null || p.segment === segment) && p.placeUm >= within.fromUm && p.placeUm <= within.toUm,
  )
}

function oneOf(places: MarkPlace[], mark: number, name: string, strip: StripRow): MarkPlace {
  const [only, second] = places
  if (!only) throw refused(`Mark ${mark} does not stand on ${name}. Look at the mark again.`)
  if (!second) return only
  const segments = places.map((p) => {
    const s = strip.marks[p.segment - 1]
    return `${p.segment} (marks ${s?.markFrom} to ${s?.markTo})`
  })
  throw refused(
    `Mark ${mark} stands ${places.length} times on ${name}. Say in which run of marks: ${segments.join(' or ')}.`,
  )
}

/** The drum that the fault lies on, or the only one of its strip that has cable on it. */
function drumOf(state: LedgerState, { fault, strip, fromUm, toUm }: FaultRow): DrumRow {
  const middleUm = (fromUm + toUm) / 2
  const drums = [...state.drums.rows()].filter((d) => d.strip === strip && d.fromUm < d.toUm)
  const under = drums.find((d) => middleUm >= d.fromUm && middleUm <= d.toUm)
  const row = under ?? (drums.length === 1 ? drums[0] : undefined)
  if (!row) throw refused(`Fault ${fault} lies on no drum now; place it by its mark.`)
  return row
}
