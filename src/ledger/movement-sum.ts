import { groupBy } from '../quantity/group-by.ts'
import { MARK_UNC_UM } from './fault-unc.ts'
import type { MovementRow } from './state-rows.ts'

/** Movements of one day that are alike, added up. */
export interface MovementSum {
  /** The works' day, YYYY-MM-DD. */
  day: string
  cable: string
  what: MovementRow['what']
  cause: string | null
  um: number
}

/** What was found against the books on one strip: a drum measured anew or counted, or many cuts that marks place and counters measure. */
export interface StockDifference {
  /** Of the last event of it. */
  seq: number
  day: string
  strip: string
  /** The drum that was measured or counted; null of cuts. */
  drum: string | null
  cable: string
  /** Cuts and measurements change the book; a count says what is seen and changes nothing. */
  what: 'cuts' | 'measured' | 'counted'
  /** Found less book. */
  um: number
  /** Sum of the squares of the standard deviations that were booked with it, µm². */
  varUm2: number
  /** The line that it was found on, else the one that took most off the strip; null where none did. */
  line: string | null
  /** Working shift of the hall; null where none is known. */
  shift: string | null
}

/** What of a strip its differences are judged by. */
export interface StripFacts {
  /** One standard deviation of the length it was booked in with, µm. */
  receivedUncUm: number
  /** Share of it that was cut into pieces. */
  cutRatio: number
}

/** Whether metres of this kind came into stock (1), left it (−1), or only were looked at (0). */
export function stockSign(what: MovementRow['what']): 1 | -1 | 0 {
  switch (what) {
    case 'received':
    case 'returned':
    case 'book error':
      return 1
    case 'shipped':
    case 'over-length':
    case 'scrap':
    case 'trim':
    case 'sample':
      return -1
    case 'counted':
      return 0
  }
}

/** A mark is read at a cut to so much, one standard deviation, µm: ± 0.3 m at the outside, each place alike (common practice: TRADE §3; GUM 4.3.7). */
const MARK_READ_UM = MARK_UNC_UM / Math.sqrt(3)

/** What was found on one strip, all of it, and one standard deviation of it; nought where nothing is claimed. */
export interface StripDifference {
  strip: string
  um: number
  uncUm: number
}

/**
 * Differences by strip. Cut by cut the errors of reading marks cancel, since one cut's end is the next one's beginning: of the sum only the
 * first and the last reading are left, with the counter's part of each cut and the length it was received with as far as it
 * was cut. A count counts until the drum is measured anew or counted again.
 */
export function byStrip(
  differences: StockDifference[],
  strips: ReadonlyMap<string, StripFacts>,
): StripDifference[] {
  return [...groupBy(differences, (d) => d.strip)].map(([strip, of]) => ({
    strip,
    ...together(of, strips.get(strip)),
  }))
}

function together(of: StockDifference[], facts: StripFacts | undefined): { um: number; uncUm: number } {
  const standing = lastCounts(of)
  let um = 0
  let varUm2 = 0
  for (const d of of) {
    if (d.what === 'counted' && !standing.has(d)) continue
    um += d.um
    varUm2 += d.varUm2
  }
  if (of.some((d) => d.what === 'cuts')) {
    const { receivedUncUm, cutRatio } = facts ?? { receivedUncUm: 0, cutRatio: 0 }
    varUm2 += 2 * MARK_READ_UM ** 2 + (receivedUncUm * Math.min(1, cutRatio)) ** 2
  }
  return { um, uncUm: Math.sqrt(varUm2) }
}

/** Of each drum the last count, unless the drum was measured anew after it. */
export function lastCounts(differences: StockDifference[]): Set<StockDifference> {
  const last = new Map<string, StockDifference>()
  for (const d of [...differences].sort((a, b) => a.seq - b.seq)) {
    if (d.drum === null) continue
    if (d.what === 'counted') last.set(d.drum, d)
    else last.delete(d.drum)
  }
  return new Set(last.values())
}
