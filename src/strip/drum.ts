import type { LengthUm } from '../quantity/length.ts'

export const DRUM_STATUSES = ['free', 'qc_hold', 'customer_sample', 'reserved'] as const
export const END_CAPS = ['both', 'outer_missing', 'inner_missing', 'none'] as const

/** A process drum or a remnant in the store: one strip of cable, spoken of from its outer end as it stands today. A row of drums.csv; null where the cell is empty. */
export interface Drum {
  /** Unique. */
  drum: string
  cable: string
  /** Process lot. */
  lot: string
  kind: 'process_drum' | 'remnant'
  putup: string
  /** Length in the books, m. */
  bookUm: LengthUm
  /** Not after works.today_date. */
  receivedDate: string
  /** Times rewound since jacketing. */
  rewinds: number
  /** Store place. */
  location: string | null
  /** Only free may be allocated. */
  status: (typeof DRUM_STATUSES)[number]
  /** Weighed with cable, kg. */
  grossKg: number
  /** Kg. */
  tareKg: number
  /** Which ends are capped. */
  endCaps: (typeof END_CAPS)[number]
  note: string | null
  /**
   * Only of a drum as a ledger knows it; absent in a row of drums.csv. Its length is then what was measured and booked, which
   * no print overrules. `outerFresh`: the outer end was cut on the line and has not left it, so nothing is lost there.
   * `mountedOn`: the line or bench it is on.
   */
  ledger?: { outerFresh: boolean; mountedOn: string | null }
}
