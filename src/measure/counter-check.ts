/** One check of a length counter against a tape. A row of counter_checks.csv; null where the cell is empty. */
export interface CounterCheck {
  date: string
  /** Line id. */
  line: string
  cable: string
  /** M. */
  counterM: number
  /** M. */
  tapeM: number
  /** C. */
  tempC: number
  /** N. */
  tensionN: number
  /** M/min. */
  speedMMin: number
  /** Person id. */
  person: string
}
