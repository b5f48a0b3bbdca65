import { leadCutUm } from '../lead/cut-length.ts'
import type { OrderLine } from '../order/order-line.ts'
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

/** Ordered length of one piece as it is credited: the cut length of a lead, the ordered length of bulk. */
export function neededUm(catalog: Catalog, line: OrderLine): number {
  if (line.kind === 'bulk') return line.lengthUm
  const connector = (part: string | null) => (part === null ? null : (catalog.connectors.get(part) ?? null))
  return leadCutUm(line.lengthUm, line.lengthDefinition, connector(line.connA), connector(line.connB))
}

export function sharePct(lengthUm: number, pct: number | null): number {
  return (lengthUm * (pct ?? 0)) / 100
}
