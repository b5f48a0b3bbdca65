import type { LimitRule } from './line-limit.ts'
import { carryingCopperMm2, conductorPullN } from './permitted-pull.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'

/** What the tension must never exceed, ramps included, N. */
export function pullRules(inputs: KnownInputs): LimitRule[] {
  const { innerCopperMm2, stretchEaKn, copperModulusNPerMm2, copperStressNPerMm2 } = inputs
  const { sidewallNPerM, takeupBarrelMm } = inputs
  const rule = (name: string, value: number | null, source: string): LimitRule => ({
    name,
    on: 'tension',
    sense: 'most',
    value,
    unit: 'N',
    source,
  })
  const copperMm2 = carryingCopperMm2(innerCopperMm2, stretchEaKn, copperModulusNPerMm2)
  return [
    rule('greatest pull of the type', inputs.pullMaxN, sourceOf(inputs, 'pullMaxN')),
    rule(
      'stress in the inner conductor',
      conductorPullN(copperMm2, copperStressNPerMm2),
      `${copperStressNPerMm2} N/mm² of copper, ${sourceOf(inputs, 'copperStressNPerMm2')}`,
    ),
    rule(
      'side wall on the smallest barrel',
      sidewallNPerM === null || takeupBarrelMm === null ? null : (sidewallNPerM * takeupBarrelMm) / 2000,
      sourceOf(inputs, 'sidewallNPerM'),
    ),
  ]
}

/** Tension range that the dancer can hold, N: force over falls. */
export function dancerRangeN(inputs: KnownInputs): { leastN: number; mostN: number } {
  return {
    leastN: inputs.dancerForceMinN / inputs.dancerFalls,
    mostN: inputs.dancerForceMaxN / inputs.dancerFalls,
  }
}
