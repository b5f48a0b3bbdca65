/** A finished, tested lead that is available for matched sets. A row of lead_tests.csv; null where the cell is empty. */
export interface LeadTest {
  /** Unique. */
  serial: string
  cable: string
  lot: string
  connA: string
  connB: string
  /** Tip to tip, m. */
  lengthM: number
  /** Frequency of phase_deg and il_db, MHz. */
  fTestMhz: number
  /** Ps. */
  delayPs: number
  /** 0..360. */
  phaseDeg: number
  /** Insertion loss, dB. */
  ilDb: number
  /** Worst return loss, dB. */
  rlMinDb: number
  continuity: 'pass' | 'fail'
  /** KV DC. */
  hipotKvDc: number
  /** Microampere. */
  leakUa: number
  /** C. */
  tempC: number
}
