import type { LengthUm } from '../quantity/length.ts'

/** A stretch of a drum over which the jacket marks run without a restart; places in book lengths from the outer end. A row of marks.csv; null where the cell is empty. */
export interface MarkSegment {
  drum: string
  /** 1, 2, ... from the outer end; (drum, segment) unique. */
  segment: number
  /** Position from the outer end where the segment begins, m, in book lengths. */
  fromUm: LengthUm
  /** Position where it ends, m, > from_m. */
  toUm: LengthUm
  /** Printed mark at from_m; empty if print_unit is none. */
  markFrom: number | null
  /** Printed mark at to_m; may be smaller than mark_from (falling). */
  markTo: number | null
  /** Unit of the print. */
  printUnit: 'm' | 'ft' | 'none'
}
