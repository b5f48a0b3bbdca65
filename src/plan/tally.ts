import { leadCutFine } from '../lead/cut-length.ts'
import type { OrderLine } from '../order/order-line.ts'
import { FINE_PER_UM, fineFromTyped, needUmFromTyped } from '../quantity/length.ts'
import type { MicroEur } from '../quantity/money.ts'
import type { Catalog } from './catalog.ts'
import type { CostItems } from './plan.ts'

export interface BrokenRule {
  rule:
    | 'tiling'
    | 'ends'
    | 'faults'
    | 'length'
    | 'quantity'
    | 'parts'
    | 'lots'
    | 'put-up'
    | 'cable'
    | 'honesty'
  where: string
  why: string
}

/** One delivered length of a piece. */
export interface ServedPart {
  declaredUm: number
  lot: string
}

/** What the check gathers while it walks through the mountings. */
export interface Tally {
  catalog: Catalog
  broken: BrokenRule[]
  items: CostItems
  /** By order line key, then piece number. */
  served: Map<string, Map<number, ServedPart[]>>
  lots: Map<string, Set<string>>
  /** What was left on a drum by its last mounting: where it begins and ends, and what it was worth. */
  left: Map<string, { fromUm: number; toUm: number; worthMicro: MicroEur } | null>
  lastCable: Map<string, string>
  scrapUm: number
  keptUm: number
  piecesUm: number
}

/** Micrometres of rounding that are no breach: a place by mark is a real number, an interval a whole one. */
export const SLACK_UM = 2

export function emptyTally(catalog: Catalog): Tally {
  return {
    catalog,
    broken: [],
    items: {
      stockValueLost: 0,
      copperReturned: 0,
      mountings: 0,
      putupChanges: 0,
      windOffs: 0,
      putups: 0,
      materialDelivered: 0,
    },
    served: new Map(),
    lots: new Map(),
    left: new Map(),
    lastCable: new Map(),
    scrapUm: 0,
    keptUm: 0,
    piecesUm: 0,
  }
}

/** Length that one piece needs, in whole micrometres: the ordered length of bulk, the cut length of a lead. Both go up. */
export function neededUm(catalog: Catalog, line: OrderLine): number {
  return line.kind === 'bulk' ? line.lengthUm : Math.ceil(neededFine(catalog, line) / FINE_PER_UM)
}

/** The same before it goes up, in ten-thousandths of a micrometre: what a figure in feet comes to is seldom a whole micrometre. */
export function neededFine(catalog: Catalog, line: OrderLine): number {
  const { lengthTyped, unit } = line
  // as much as the typed figure went up; what is typed stays where a part of the length is made and only the rest is asked for
  const upFine = needUmFromTyped(lengthTyped, unit) * FINE_PER_UM - fineFromTyped(lengthTyped, unit)
  const orderedFine = line.lengthUm * FINE_PER_UM - upFine
  if (line.kind === 'bulk') return orderedFine
  const connector = (part: string | null) => (part === null ? null : (catalog.connectors.get(part) ?? null))
  return leadCutFine(orderedFine, line.lengthDefinition, connector(line.connA), connector(line.connB))
}

/** Length that is credited for one piece, µm, not always whole: never more than it needs, and of a lead the whole µm at or below that. */
export function creditedUm(line: OrderLine, neededLengthFine: number): number {
  const exactUm = neededLengthFine / FINE_PER_UM
  return line.kind === 'bulk' ? exactUm : Math.min(Math.round(exactUm), exactUm)
}

export function sharePct(lengthUm: number, pct: number | null): number {
  return (lengthUm * (pct ?? 0)) / 100
}
