/** A connector part; each part fits exactly one cable type. A row of connectors.csv; null where the cell is empty. */
export interface Connector {
  /** Unique. */
  part: string
  /** N, BNC, SMA, F, 7-16, 4.3-10, UHF ... */
  interface: string
  /** Published interface standard. */
  standard: string | null
  gender: 'plug' | 'jack'
  /** Impedance of the interface, ohm. */
  zOhm: number
  /** The cable type it fits. */
  cable: string
  /** Way of fixing. */
  method: 'crimp' | 'crimp_solder_pin' | 'clamp_solder_pin' | 'solder' | 'compression'
  /** From the reference tip of the part to the cut face of the cable inside it, mm (0 where the inner conductor itself is the tip). */
  tipToCableEndMm: number
  /** From the tip to the reference plane, mm. */
  tipToRefPlaneMm: number
  /** Mm from the cut face. */
  stripJacketMm: number
  /** Mm from the cut face. */
  stripBraidMm: number
  /** Mm from the cut face. */
  stripDielectricMm: number
  /** Hexagon across flats, mm; empty if not crimped. */
  ferruleHexAfMm: number | null
  /** None = cable inner is the pin. */
  pinMethod: 'crimp' | 'solder' | 'none'
  /** Coupling torque, N m; both empty = no torque (bayonet). */
  torqueMinNm: number | null
  /** N m, >= torque_min_nm. */
  torqueMaxNm: number | null
  /** GHz. */
  fMaxGhz: number
  /** Return loss of one connector, dB. */
  rlMinDb: number
  /** C in loss = c*sqrt(f in GHz), dB. */
  lossCoeffDbPerSqrtGhz: number
  /** Cable retention, N. */
  pullMinN: number
  /** EUR each. */
  priceEur: number
  /** Minutes per end. */
  assemblyMinPerEnd: number
  note: string | null
}
