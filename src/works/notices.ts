import { leadCutUm } from '../lead/cut-length.ts'
import { allowsFault } from '../order/faults-allowed.ts'
import type { OrderLine } from '../order/order-line.ts'
import { groupBy } from '../quantity/group-by.ts'
import { mFromUm } from '../quantity/length.ts'
import type { Drum } from '../strip/drum.ts'
import { type FaultZone, stretchesBetween, type UsableDrum, usableDrum } from '../strip/usable.ts'
import type { Notice } from './problem.ts'
import { putupNotices } from './putup-notices.ts'
import { witnessNotices } from './witness-notices.ts'
import type { Works } from './works.ts'

/** Rows of the records in their files, since notices name them. */
export interface RecordRows {
  drums: readonly number[]
  orders: readonly number[]
}

/**
 * What refuses no folder but should be seen before planning: lines that no drum and groups that no lot can serve,
 * put-ups that do not fit, lengths whose witnesses disagree. Each is certain by itself; the plan says the rest.
 */
export function worksNotices(works: Works, rows: RecordRows): Notice[] {
  return [
    serviceNotices(works, rows.orders),
    putupNotices(works, rows.orders),
    witnessNotices(works, rows.drums),
  ].flatMap((notices) => firstOf(notices))
}

/** A page of the same notice helps nobody: the first ones, and how many more there are. */
const MAX_NOTICES = 500

function firstOf(notices: Notice[]): Notice[] {
  const last = notices[MAX_NOTICES]
  if (!last) return notices
  const text = `… and ${notices.length - MAX_NOTICES} more of this sort.`
  return [...notices.slice(0, MAX_NOTICES), { ...last, row: null, column: null, text }]
}

/** Longest stretch and lengths by lot of what the lines of one cable with the same demands may use. */
interface Offer {
  longestUm: number
  drum: string | null
  stretches: number
  byLot: Map<string, number[]>
}

function serviceNotices(works: Works, rows: readonly number[]): Notice[] {
  const offers = offersOf(works)
  const connectors = new Map(works.connectors.map((c) => [c.part, c]))
  const notices: Notice[] = []
  const groups = new Map<string, { row: number | null; lines: GroupLine[] }>()
  for (const [i, line] of works.orders.entries()) {
    const a = line.connA === null ? null : connectors.get(line.connA)!
    const b = line.connB === null ? null : connectors.get(line.connB)!
    const wantedUm =
      line.kind === 'lead' ? leadCutUm(line.lengthUm, line.lengthDefinition, a, b) : line.lengthUm
    const takeUm = leastTakeUm(line, wantedUm, works)
    const offer = offers(line)
    const row = rows[i] ?? null
    const text =
      wantedUm <= 0
        ? `${line.order}/${line.line}: the connectors are longer than the lead.`
        : lineText(line, takeUm, offer)
    if (text !== null)
      notices.push({ file: 'orders.csv', row, column: 'length', text, kind: 'line-unservable' })
    if (line.sameLotGroup === null) continue
    const group = groups.get(line.sameLotGroup)
    if (group) group.lines.push({ takeUm, line, offer })
    else groups.set(line.sameLotGroup, { row, lines: [{ takeUm, line, offer }] })
  }
  for (const [name, { row, lines }] of groups) {
    if (someLotHolds(lines)) continue
    const text = `No process lot in stock holds all that group ${name} asks for.`
    notices.push({ file: 'orders.csv', row, column: 'same_lot_group', text, kind: 'group-unservable' })
  }
  return notices
}

interface GroupLine {
  takeUm: number
  line: OrderLine
  offer: Offer
}

/** Above so many comparisons a group is left to the planner, which says the same with its reason. */
const MAX_COMPARISONS = 20_000_000

function someLotHolds(lines: GroupLine[]): boolean {
  const offers = [...new Set(lines.map(({ offer }) => offer))]
  if (lines.length * Math.max(...offers.map((offer) => offer.stretches)) > MAX_COMPARISONS) return true
  const lots = new Set(offers.flatMap((offer) => [...offer.byLot.keys()]))
  return [...lots].some((lot) => lines.every((line) => lotHolds(line, lot)))
}

/** The least that one piece, or one part of it, takes from a drum. */
function leastTakeUm(line: OrderLine, wantedUm: number, works: Works): number {
  const rules = works.site.cutRules
  if (line.kind === 'lead') return wantedUm + rules.leadTrimUm
  const leastUm = wantedUm * (1 - (line.tolMinusPct ?? 0) / 100)
  const declaredUm = line.singleLength ? leastUm : Math.min(leastUm, line.minPieceUm ?? leastUm)
  return declaredUm * (1 + rules.lengthGuardRatio) + rules.pieceTrimUm
}

function lineText(line: OrderLine, takeUm: number, offer: Offer): string | null {
  if (takeUm <= offer.longestUm) return null
  const asked = `${line.order}/${line.line}: ${line.lengthTyped} ${line.unit} of ${line.cable}`
  if (offer.drum === null) return `${asked} cannot be served: no free drum holds that cable.`
  return `${asked} cannot be served: the longest stretch it may have is ${mFromUm(offer.longestUm).toFixed(2)} m, on ${offer.drum}; ${mFromUm(takeUm).toFixed(2)} m is needed.`
}

/** A necessary condition only: the pieces of this line by themselves, cut as close as they go. */
function lotHolds({ takeUm, line, offer }: GroupLine, lot: string): boolean {
  const stretches = offer.byLot.get(lot) ?? []
  let pieces = 0
  for (const stretchUm of stretches) pieces += Math.floor(stretchUm / Math.max(1, takeUm))
  return pieces >= (line.singleLength ? line.qty : 1)
}

/** What each line may use, worked out once for each cable and set of demands. */
function offersOf(works: Works): (line: OrderLine) => Offer {
  const segments = groupBy(works.marks, (s) => s.drum)
  const faults = groupBy(works.faults, (f) => f.drum)
  const free = groupBy(
    works.drums.filter((d) => d.status === 'free'),
    (d) => d.cable,
  )
  const usable = new Map<Drum, UsableDrum>()
  const known = new Map<string, Offer>()
  return (line) => {
    const key = `${line.cable}/${line.faultsAllowed}/${line.printRequired}`
    const before = known.get(key)
    if (before) return before
    const offer: Offer = { longestUm: 0, drum: null, stretches: 0, byLot: new Map() }
    for (const drum of free.get(line.cable) ?? []) {
      let strip = usable.get(drum)
      if (!strip) {
        strip = usableDrum(
          drum,
          segments.get(drum.drum) ?? [],
          faults.get(drum.drum) ?? [],
          works.site.cutRules,
        )
        usable.set(drum, strip)
      }
      const lengths = openLengths(
        strip,
        strip.zones.filter((zone) => !allowsFault(line, zone.fault)),
      )
      const ofLot = offer.byLot.get(drum.lot) ?? []
      if (ofLot.length === 0) offer.byLot.set(drum.lot, ofLot)
      offer.stretches += lengths.length
      for (const lengthUm of lengths) {
        ofLot.push(lengthUm)
        if (lengthUm <= offer.longestUm) continue
        offer.longestUm = lengthUm
        offer.drum = drum.drum
      }
    }
    known.set(key, offer)
    return offer
  }
}

/** Lengths between the end losses and the zones that this line may not contain; the zones stand in order of their beginning. */
function openLengths({ good }: UsableDrum, zones: FaultZone[]): number[] {
  return stretchesBetween(good, zones).map(({ fromUm, toUm }) => toUm - fromUm)
}
