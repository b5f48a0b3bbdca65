import type { Chain } from './chain.ts'
import type { InstrumentUncertainty } from './guard.ts'
import type { Roller } from './pitch.ts'
import type { Sweep } from './sweep.ts'

/** What a lead is to be, and with what it was measured. */
export interface JudgeAsked {
  chain: Chain
  /** Between the reference planes of its connectors, m, and how far it may be from it. */
  lengthM: number
  lengthMinusM: number
  lengthPlusM: number
  /** Upper end of the test, MHz; null: as far as the figures hold. */
  toMhz: number | null
  sweep: Sweep
  /** False where only sizes were measured: then nothing is said of places. */
  hasPhase: boolean
  instrument: InstrumentUncertainty
  /** Why the instrument proves nothing, such as a calibration overdue; null where nothing is against it. */
  overdue: string | null
  rollers: Roller[]
}
