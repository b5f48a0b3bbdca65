import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { CounterCorrection } from '../measure/counter-correction.ts'
import { type LengthUm, UM_PER_MM } from '../quantity/length.ts'

/** The smallest step that a preset can be set in: one pulse of the counter, but no finer than a millimetre. */
export function presetStepUm(line: Pick<RewindingLine, 'counter'>): LengthUm {
  const pulseUm = (line.counter.wheelCircMm * UM_PER_MM) / line.counter.pulsesPerTurn
  return Math.max(UM_PER_MM, Math.ceil(pulseUm / UM_PER_MM) * UM_PER_MM)
}

/**
 * What the counter must show when so much cable has truly passed: need · (1 + e), with e = counter/tape − 1 from the
 * line's checks, rounded up to the counter's step (a need). Without a correction the need itself.
 */
export function counterPresetUm(
  needUm: LengthUm,
  line: Pick<RewindingLine, 'counter'>,
  correction: CounterCorrection | null,
): LengthUm {
  const stepUm = presetStepUm(line)
  // a thousandth of a step keeps binary fractions from costing a whole step
  return Math.ceil((needUm * (1 + (correction?.errorRatio ?? 0))) / stepUm - 0.001) * stepUm
}
