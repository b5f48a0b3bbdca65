import type { LengthUm } from '../quantity/length.ts'

/** One order line: what a customer wants, with the length kept as it was typed. A row of orders.csv; null where the cell is empty. */
export interface OrderLine {
  /** (order, line) unique. */
  order: string
  line: number
  /** Key of markets.json. */
  market: string
  customer: string
  channel: 'web' | 'dealer' | 'export'
  /** Lead = cable with two connectors. */
  kind: 'bulk' | 'lead'
  cable: string
  /** Pieces. */
  qty: number
  /** The length of one piece exactly as typed, in `unit`. */
  lengthTyped: string
  /** The same length in whole micrometres; 1 ft = 304 800 µm exactly (16 CFR 500.19); rounded up where the typed figure is finer. */
  lengthUm: LengthUm
  /** Unit of length; 1 ft = 0.3048 m. */
  unit: 'm' | 'ft'
  /** Bulk: % short allowed. */
  tolMinusPct: number | null
  /** Bulk: % long allowed. */
  tolPlusPct: number | null
  /** Lead: mm short allowed. */
  tolMinusMm: number | null
  /** Lead: mm long allowed. */
  tolPlusMm: number | null
  /** No = one piece of the line may be delivered in several parts. */
  singleLength: boolean
  /** Shortest part, m; required if single_length is no. */
  minPieceUm: LengthUm | null
  /** Greatest number of parts; required if single_length is no. */
  maxParts: number | null
  /** All lines with this code must come from one process lot. */
  sameLotGroup: string | null
  /** See faults.csv severity. */
  faultsAllowed: 'none' | 'note' | 'downgrade'
  /** No = PRT faults are allowed. */
  printRequired: boolean
  /** Empty for leads, or where the works may choose. */
  putup: string | null
  /** Leads only. */
  connA: string | null
  /** Leads only. */
  connB: string | null
  /** How a length is measured. */
  lengthDefinition: 'jacket' | 'tip_to_tip' | 'ref_to_ref'
  /** Leads: set to be matched. */
  matchedSet: string | null
  /** With matched_set. */
  matchKind: 'phase' | 'delay' | null
  /** Phase sets: frequency, MHz. */
  matchFMhz: number | null
  /** Phase sets: +/- degree. */
  matchPhaseTolDeg: number | null
  /** Delay sets: wanted delay of the lead, ns. */
  matchDelayNs: number | null
  /** Delay sets: +/- ps. */
  matchDelayTolPs: number | null
  /** Leads: upper test frequency, MHz. */
  fTestMhz: number | null
  dueDate: string
  /** Price of the whole line, EUR. */
  priceEur: number
  note: string | null
  /** Only where part of it is made already; never in orders.csv. `qty` counts what is open then. */
  open?: OpenPieces
}

/** What of an order line is still to be made. */
export interface OpenPieces {
  /** Pieces that were ordered in all. */
  qty: number
  /** Numbers within the order line of the pieces 1, 2, ... that are open. */
  pieces: number[]
  /** The order line that this one is the rest of one piece of, with the parts that are made; null of any other. */
  restOf: { line: number; parts: number } | null
  /** Process lot that its same-lot group was begun from. */
  lot: string | null
}
