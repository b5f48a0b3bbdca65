/** A coil form, bobbin or drum that cable is put up on. A row of putups.csv; null where the cell is empty. */
export interface Putup {
  /** Unique. */
  putup: string
  /** Process_drum stays on site. */
  kind: 'coil' | 'bobbin' | 'drum' | 'process_drum'
  material: string
  /** Flange diameter, mm; empty for a coil. */
  flangeMm: number | null
  /** Barrel or inner coil diameter, mm. */
  barrelMm: number
  /** Winding width, mm. */
  traverseMm: number
  /** Kg. */
  tareKg: number
  /** Kg of cable. */
  payloadKg: number
  /** EUR each. */
  costEur: number
  /** Unmarked wood only where the market has wood_rule none. */
  woodMark: 'not_wood' | 'plywood_exempt' | 'ht_marked' | 'unmarked'
  cover: string | null
}
