import { conformanceProbability } from '../measure/guard-band.ts'

/** Expanded uncertainty of the instrument as it stands with its calibration, coverage factor 2. */
export interface InstrumentUncertainty {
  /** Of insertion loss, dB. */
  lossDb: number
  /** Of the size of a reflection: effective directivity of 40 dB is 0.01. */
  gamma: number
}

/**
 * What a calibrated analyser at a bench with good test leads reaches below 6 GHz: common practice of the trade. Each works
 * replaces it by the figures of its own instrument.
 */
export const INSTRUMENT: InstrumentUncertainty = { lossDb: 0.05, gamma: 0.01 }

export const GUARD_RULE =
  'guarded acceptance: acceptance limit = specification limit less the expanded uncertainty U (k = 2), JCGM 106:2012 8.3.2, ILAC-G8:2019 4.2.3 (w = U)'

/** Where a measured value stands. */
export type Zone = 'inside' | 'guard band' | 'outside'

export interface Guarded {
  limit: number
  acceptance: number
  zone: Zone
  /** Probability that a lead that reads this does not conform, per cent. */
  falsePassPct: number
}

/** An upper limit: measured must not lie above it. */
export function guardedBelow(measured: number, limit: number, expanded: number): Guarded {
  const acceptance = limit - expanded
  return {
    limit,
    acceptance,
    zone: measured <= acceptance ? 'inside' : measured <= limit ? 'guard band' : 'outside',
    falsePassPct: 100 * (1 - conformanceProbability(measured, expanded / 2, { upper: limit })),
  }
}
