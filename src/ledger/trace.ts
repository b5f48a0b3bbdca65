import type { LengthUm } from '../quantity/length.ts'
import type { CounterThatDay } from './counter-that-day.ts'
import type { PieceHappening } from './piece-history.ts'
import type { ComplaintRow, FaultRow, LotRow, PieceRow, StripRow } from './state-rows.ts'
import { markAt } from './strip-marks.ts'

/** What lies next to a piece on its strip. */
export interface Neighbour {
  use: string
  /** Drum or serial; null for scrap and the like. */
  ref: string | null
  fromUm: LengthUm
  toUm: LengthUm
}

/** One check of a tester near the time of a cut. */
export interface NearSparkCheck {
  at: string
  passed: boolean
  /** Number of its record; null where it stands in the works folder. */
  check: string | null
}

/** Everything that is known of one piece. `day` is the works' day (works-day.ts), `at` the clock's instant. */
export interface Trace {
  piece: PieceRow
  /** Of the cut. */
  day: string
  /** Marks that stand at both ends by the strip's own map; null where nothing is printed. */
  marks: { atFrom: number | null; atTo: number | null }
  strip: StripRow
  lot: LotRow | null
  /** Faults that touch it, their uncertainty counted in. */
  faults: FaultRow[]
  history: (PieceHappening & { day: string })[]
  /** null at a bench, which has no counter. */
  counter: CounterThatDay | null
  spark: { before: NearSparkCheck | null; after: NearSparkCheck | null }
  /** Towards the lower and the upper end of the strip's coordinate. */
  neighbours: { before: Neighbour | null; after: Neighbour | null }
  /** The bench length that a lead was made from. */
  parent: PieceRow | null
  leads: { serial: string; where: PieceRow['where'] }[]
  customer: string | null
  complaints: (ComplaintRow & { openedDay: string })[]
}

/** Marks at the ends of an interval by the strip's map. */
export function marksOfInterval(strip: StripRow, of: { fromUm: LengthUm; toUm: LengthUm }): Trace['marks'] {
  return { atFrom: markAt(strip, of.fromUm), atTo: markAt(strip, of.toUm) }
}

/** The faults of a strip that touch an interval, or may by their uncertainty. */
export function faultsTouching(faults: FaultRow[], of: { fromUm: LengthUm; toUm: LengthUm }): FaultRow[] {
  return faults.filter((f) => !f.withdrawn && f.fromUm - f.uncUm <= of.toUm && f.toUm + f.uncUm >= of.fromUm)
}

/** The last check up to a time and the first one after it. Of a time and a day only, the day decides; a day's check comes before its cuts. */
export function sparkAround(checks: NearSparkCheck[], at: string): Trace['spark'] {
  const told = (check: NearSparkCheck) => Math.min(check.at.length, at.length)
  const notAfter = (check: NearSparkCheck) => check.at.slice(0, told(check)) <= at.slice(0, told(check))
  const sorted = [...checks].sort((a, b) => (a.at < b.at ? -1 : a.at > b.at ? 1 : 0))
  return { before: sorted.findLast(notAfter) ?? null, after: sorted.find((c) => !notAfter(c)) ?? null }
}

/** Where a piece is, in words. */
export function whereWords({
  where,
  place,
  shipment,
}: Pick<PieceRow, 'where' | 'place' | 'shipment'>): string {
  switch (where) {
    case 'hall':
      return 'in the hall'
    case 'shelf':
      return `on the shelf${place === null ? '' : `, ${place}`}`
    case 'shipped':
      return `shipped${shipment === null ? '' : ` on ${shipment}`}`
    case 'returned':
      return 'returned; waits for inspection'
    case 'scrapped':
      return 'scrapped'
    case 'restocked':
      return 'drum stock again'
    case 'made into leads':
      return 'made into leads'
  }
}
