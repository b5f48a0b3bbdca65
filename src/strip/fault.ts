import type { LengthUm } from '../quantity/length.ts'

/** Spark, lump, print, scuff, joint, periodic return loss, wet end. */
export const FAULT_CODES = ['SPK', 'LUMP', 'PRT', 'SCF', 'JNT', 'SRL', 'WET'] as const
export const FAULT_SEVERITIES = ['cut_out', 'downgrade', 'note'] as const
export const POSITION_SOURCES = ['mark_read', 'counter_only'] as const

/** A known fault, placed by jacket marks within one mark segment. A row of faults.csv; null where the cell is empty. */
export interface Fault {
  /** Unique. */
  fault: string
  drum: string
  /** Marks.csv segment in which the marks are read. */
  segment: number
  code: (typeof FAULT_CODES)[number]
  what: string | null
  /** Cut_out: never shipped; downgrade: only in lines with faults_allowed downgrade (PRT: also in lines with print_required no); note: lines with faults_allowed note or downgrade. */
  severity: (typeof FAULT_SEVERITIES)[number]
  /** First mark, inside the segment. */
  markFrom: number
  /** Last mark; order not significant. */
  markTo: number
  /** How the place is known. */
  positionSource: (typeof POSITION_SOURCES)[number]
  /** +/- uncertainty of the place, m. */
  posUncUm: LengthUm
  foundAt: string | null
  foundDate: string
  /** Where it lies from the drum's outer end, true length, where that is known by itself: it goes before the marks. Never in faults.csv. */
  placeUm?: { fromUm: LengthUm; toUm: LengthUm }
}
