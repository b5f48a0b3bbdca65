import type { Motion } from './motion-setting.ts'
import { brakeHeatW, brakeTorqueNm, drumRpm, type PayoffState } from './payoff-drum.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'
import { type HangingCable, highestN, rampAnswer } from './run-tension.ts'
import { dancerRoomM } from './speed-limits.ts'
import { dancerCableM, dancerForceN } from './winding-tension.ts'

/** Pay-off and dancer on one mounting. */
export interface PayoffSettings {
  driven: boolean
  drivenSource: string
  /** The drum as it is mounted, and as it stands after the last cut. */
  states: PayoffState[]
  /** Turns per minute at full speed, at each of the two. */
  rpm: number[]
  /** What the cable would see on the line's own ramp were the drum not driven; null: not known. */
  undrivenRampN: number | null
  /** A brake that holds the tension by itself, with the drum as it is mounted: torque and heat at full speed. */
  brakeTorqueNm: number | null
  brakeHeatW: number
  dancerForceN: number
  /** Cable that the dancer can give before a limit, and what it needs in the ramp; null: not known. */
  dancerRoomM: number
  dancerNeedM: number | null
  dancerNeedPct: number | null
  /** How the tension in a ramp is known. */
  source: string
}

export function payoffSettings(
  given: { inputs: KnownInputs; states: PayoffState[]; hanging: HangingCable },
  motion: Motion,
  tensionN: number,
  speedMPerS: number,
): PayoffSettings {
  const { inputs, states, hanging } = given
  const undriven = rampAnswer({ ...inputs, payoffDriven: false }, states, hanging, tensionN, speedMPerS)
  const first = states[0]
  const needM = dancerNeedM(inputs, motion.up.accelMPerS2, speedMPerS)
  return {
    driven: inputs.payoffDriven,
    drivenSource: sourceOf(inputs, 'payoffDriven'),
    states,
    rpm: states.map((s) => drumRpm(speedMPerS, 2 * s.radiusM)),
    undrivenRampN: undriven && highestN(undriven, tensionN, inputs.accelMPerS2, 0),
    brakeTorqueNm: first ? brakeTorqueNm(tensionN, 2 * first.radiusM) : null,
    brakeHeatW: brakeHeatW(tensionN, speedMPerS),
    dancerForceN: dancerForceN(tensionN, inputs.dancerFalls),
    dancerRoomM: dancerRoomM(inputs),
    dancerNeedM: needM,
    dancerNeedPct:
      needM === null ? null : (100 * needM) / dancerCableM(inputs.dancerTravelM, inputs.dancerFalls),
    source: motion.answer?.source ?? 'winding diameter of the drum not known',
  }
}

/** Cable that the dancer gives out while the pay-off catches up: v·τ by the lag, or as recorded for the ramp; the larger. */
function dancerNeedM(inputs: KnownInputs, accelMPerS2: number, speedMPerS: number): number | null {
  const { payoffLagS, rampCableS2 } = inputs
  if (payoffLagS === null && rampCableS2 === null) return null
  return Math.max((payoffLagS ?? 0) * speedMPerS, (rampCableS2 ?? 0) * accelMPerS2)
}
