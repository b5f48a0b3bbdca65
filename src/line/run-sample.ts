/** One sample of a recorded run, 10 Hz. A row of line_run.csv; null where the cell is empty. */
export interface RunSample {
  line: string
  cable: string
  /** Preset length, m. */
  targetM: number
  /** Time, s, rising. */
  tS: number
  /** M/s. */
  vSetMS: number
  /** M/s by the counter wheel drive. */
  vMS: number
  /** Counter, m. */
  countM: number
  /** Turns since start. */
  takeupTurns: number
  /** M/s. */
  payoffVMS: number
  /** % of travel. */
  dancerPct: number
  /** N. */
  tensionN: number
  /** KV. */
  sparkKv: number
  /** MA. */
  sparkMa: number
  /** 0 or 1. */
  sparkEvent: number
  /** Mm. */
  odXMm: number
  /** Mm. */
  odYMm: number
  state: 'RUN' | 'STOP'
}
