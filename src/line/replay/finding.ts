export type FindingKind =
  | 'slip'
  | 'take-up'
  | 'payoff'
  | 'counter-reset'
  | 'counter-jump'
  | 'piece-start'
  | 'gap'
  | 'clock'
  | 'out-of-order'
  | 'unreadable'
  | 'lump'
  | 'neck'
  | 'oval'
  | 'diameter-trend'
  | 'spark'
  | 'spark-low'
  | 'spark-creep'
  | 'tension'
  | 'dancer'
  | 'micro-stop'
  | 'stop'

/** Something in a recorded run that a person should know of. */
export interface RunFinding {
  kind: FindingKind
  /** `wrong`: length, insulation or cable may be harmed; `watch`: look at it; `note`: only that it is not lost. */
  severity: 'wrong' | 'watch' | 'note'
  /** By the clock of the record. */
  fromS: number
  toS: number
  /** Place on the strip, metres from the outer end; heads before the cutter are reckoned in. null where it has no place. */
  fromM: number | null
  toM: number | null
  /** Expanded uncertainty (k = 2) of the place. */
  placeUncertaintyM: number | null
  /** How much, in `unit`; null where there is nothing to measure. */
  size: number | null
  /** Expanded uncertainty (k = 2) of the size, in the same unit. */
  sizeUncertainty: number | null
  unit: 'm' | 'mm' | 's' | 'N' | '%' | 'kV' | 'mA' | 'samples' | null
  text: string
}

/** A finding as its own analysis knows it: by samples; clock and place are filled in at the end. */
export interface Found
  extends Pick<RunFinding, 'kind' | 'severity' | 'text'>,
    Partial<Pick<RunFinding, 'fromM' | 'toM' | 'placeUncertaintyM' | 'size' | 'sizeUncertainty' | 'unit'>> {
  /** First and last sample. */
  from: number
  to: number
  /** The whole record is meant, or nothing that lies at a place. */
  placeless?: true
}

/** "43.9 m", or "43.9 to 44.2 m" where the two differ as shown. */
export function placeText(fromM: number, toM: number, decimals = 1): string {
  const [from, to] = [fromM.toFixed(decimals), toM.toFixed(decimals)]
  return from === to ? `${from} m` : `${from} to ${to} m`
}
