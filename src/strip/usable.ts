import { type LengthUm, UM_PER_FT, UM_PER_M } from '../quantity/length.ts'
import type { CutRules } from './cut-rules.ts'
import type { Drum } from './drum.ts'
import type { Fault } from './fault.ts'
import type { MarkSegment } from './mark-segment.ts'

/** A stretch of a drum, whole micrometres from its outer end. */
export interface Stretch {
  fromUm: LengthUm
  toUm: LengthUm
}

/** The place a fault blocks for the pieces that may not contain it. */
export interface FaultZone extends Stretch {
  fault: Fault
  /** The fault itself, without uncertainty and margin. */
  coreFromUm: LengthUm
  coreToUm: LengthUm
}

/** A drum with all that planning and drawing know of it: lengths, ends, zones, clean stretches. */
export interface UsableDrum {
  drum: Drum
  segments: MarkSegment[]
  /**
   * Planned length over book length: 1, or the printed span over the book where one mark segment says that the
   * drum is more than 1 % shorter than booked. Places by book are scaled with it.
   */
  scale: number
  /** Planned length of the drum. */
  lengthUm: LengthUm
  /** Between the end losses (or the cut-back of an uncapped end, where that is longer). */
  good: Stretch
  zones: FaultZone[]
  /** Between the end losses and the faults that are always cut out, from the outer end. */
  clean: Stretch[]
}

/** True metres per printed unit. */
export function umPerMark(segment: MarkSegment): number {
  return segment.printUnit === 'ft' ? UM_PER_FT : UM_PER_M
}

/** Length of a segment by its own print, µm; null where there is no print. */
export function printedSpanUm(segment: MarkSegment): LengthUm | null {
  if (segment.printUnit === 'none' || segment.markFrom === null || segment.markTo === null) return null
  return Math.round(Math.abs(segment.markTo - segment.markFrom) * umPerMark(segment))
}

/** Share of the book length that is planned with; see UsableDrum.scale. The 1 % is the works' rule (works folder contract). */
export function plannedScale(drum: Drum, segments: MarkSegment[]): number {
  if (drum.ledger) return 1
  const only = segments.length === 1 ? segments[0] : undefined
  if (!only || only.printUnit === 'none' || only.markFrom === null || only.markTo === null) return 1
  const spanM = Math.abs(only.markTo - only.markFrom) * (only.printUnit === 'ft' ? 0.3048 : 1)
  const bookM = drum.bookUm / UM_PER_M
  return spanM > 0 && Math.abs(bookM / spanM - 1) > 0.01 ? Math.min(1, spanM / bookM) : 1
}

/**
 * Place of a printed mark on the drum as it stands, µm from the outer end (not rounded).
 * The map is linear within a segment: x = from + (M − M_from)·(to − from)/(M_to − M_from), in book lengths, then scaled.
 */
export function placeOfMark(segment: MarkSegment, mark: number, scale: number): number {
  const { markFrom, markTo } = segment
  if (markFrom === null || markTo === null || markFrom === markTo) return Number.NaN
  return (
    (segment.fromUm + ((mark - markFrom) * (segment.toUm - segment.fromUm)) / (markTo - markFrom)) * scale
  )
}

/** The mark that stands at a place (µm from the outer end), with its segment; null where nothing is printed. */
export function markAtPlace(
  usable: Pick<UsableDrum, 'segments' | 'scale'>,
  placeUm: LengthUm,
): { mark: number; segment: MarkSegment } | null {
  const bookUm = placeUm / usable.scale
  const segment =
    usable.segments.find((s) => bookUm >= s.fromUm && bookUm <= s.toUm) ??
    (usable.segments.length > 0 && bookUm > usable.segments[usable.segments.length - 1]!.toUm
      ? usable.segments[usable.segments.length - 1]
      : undefined)
  if (!segment || segment.markFrom === null || segment.markTo === null) return null
  const share = (bookUm - segment.fromUm) / (segment.toUm - segment.fromUm)
  return { mark: segment.markFrom + share * (segment.markTo - segment.markFrom), segment }
}

/** Everything that follows for one drum from its rows and the works' cutting rules. */
export function usableDrum(
  drum: Drum,
  segments: MarkSegment[],
  faults: Fault[],
  rules: CutRules,
): UsableDrum {
  const sorted = [...segments].sort((a, b) => a.segment - b.segment)
  const scale = plannedScale(drum, sorted)
  const lengthUm = Math.round(drum.bookUm * scale)
  const good = goodStretch(drum, lengthUm, rules)
  const zones: FaultZone[] = []
  for (const fault of faults) {
    const core = coreOf(fault, sorted, scale)
    if (core) zones.push(faultZone(fault, core, rules))
  }
  zones.sort((a, b) => a.fromUm - b.fromUm)
  return { drum, segments: sorted, scale, lengthUm, good, zones, clean: cleanStretches(good, zones) }
}

function goodStretch(drum: Drum, lengthUm: LengthUm, rules: CutRules): Stretch {
  const process = drum.kind === 'process_drum'
  let outerUm = process ? rules.outerEndLossProcessDrumUm : rules.outerEndLossRemnantUm
  // a freshly cut end has lost what an end loses
  if (drum.ledger?.outerFresh) outerUm = 0
  let innerUm = process ? rules.innerEndLossProcessDrumUm : 0
  if (!drum.ledger?.outerFresh && (drum.endCaps === 'outer_missing' || drum.endCaps === 'none'))
    outerUm = Math.max(outerUm, rules.uncappedEndCutUm)
  if (drum.endCaps === 'inner_missing' || drum.endCaps === 'none')
    innerUm = Math.max(innerUm, rules.uncappedEndCutUm)
  return { fromUm: Math.min(outerUm, lengthUm), toUm: Math.max(lengthUm - innerUm, 0) }
}

/** Both edges of a fault, µm from the outer end (not rounded), lower one first; null where its marks are in no segment. */
function coreOf(fault: Fault, segments: MarkSegment[], scale: number): [number, number] | null {
  if (fault.placeUm) return [fault.placeUm.fromUm, fault.placeUm.toUm]
  const segment = segments.find((s) => s.segment === fault.segment)
  if (!segment) return null
  const a = placeOfMark(segment, fault.markFrom, scale)
  const b = placeOfMark(segment, fault.markTo, scale)
  return [Math.min(a, b), Math.max(a, b)]
}

/** A fault widened on both sides by its uncertainty and the works' margin; rounded outwards, so that the clean side goes down. */
function faultZone(fault: Fault, [fromUm, toUm]: [number, number], rules: CutRules): FaultZone {
  // the hundredth keeps a binary fraction, as of a mark at 6.5 m, from rounding a whole micrometre outwards
  const wideUm = fault.posUncUm + rules.faultMarginUm - 0.01
  return {
    fault,
    coreFromUm: Math.round(fromUm),
    coreToUm: Math.round(toUm),
    fromUm: Math.floor(fromUm - wideUm),
    toUm: Math.ceil(toUm + wideUm),
  }
}

/** What lies between the end losses and the zones of faults that are always cut out. */
export function cleanStretches(good: Stretch, zones: FaultZone[]): Stretch[] {
  return stretchesBetween(
    good,
    zones.filter(({ fault }) => fault.severity === 'cut_out'),
  )
}

/** What of a stretch lies in none of the zones, which stand in order of their beginning. */
export function stretchesBetween(within: Stretch, zones: readonly FaultZone[]): Stretch[] {
  const between: Stretch[] = []
  let at = within.fromUm
  for (const zone of zones) {
    if (zone.fromUm > at) between.push({ fromUm: at, toUm: Math.min(zone.fromUm, within.toUm) })
    at = Math.max(at, zone.toUm)
  }
  if (within.toUm > at) between.push({ fromUm: at, toUm: within.toUm })
  return between.filter((s) => s.toUm > s.fromUm)
}
