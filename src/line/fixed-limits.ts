import { type LineLimit, usedLimit } from './line-limit.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'

/** Limits that no setting moves: bends, and the spread of the stop. */
export function fixedLimits(inputs: KnownInputs): LineLimit[] {
  const { barrelMinMm, takeupBarrelMm, bendMinRepeatedMm, capstanCircM, stopSdM, pieceTrimM } = inputs
  return [
    usedLimit(
      {
        name: 'smallest barrel of the type',
        on: 'put-up',
        sense: 'least',
        value: barrelMinMm,
        unit: 'mm',
        source: sourceOf(inputs, 'barrelMinMm'),
      },
      takeupBarrelMm,
    ),
    usedLimit(
      {
        name: 'repeated bend radius, at the capstan',
        on: 'put-up',
        sense: 'least',
        value: bendMinRepeatedMm,
        unit: 'mm',
        source: sourceOf(inputs, 'bendMinRepeatedMm'),
      },
      capstanCircM === null ? null : (capstanCircM * 1000) / (2 * Math.PI),
    ),
    usedLimit(
      {
        name: 'stop within the trim of a piece, three spreads',
        on: 'stop',
        sense: 'most',
        value: pieceTrimM,
        unit: 'm',
        source: sourceOf(inputs, 'pieceTrimM'),
      },
      3 * stopSdM,
    ),
  ]
}
