import { figureText } from '../quantity/length-text.ts'
import { type LimitRule, tightest } from './line-limit.ts'
import { heaviest, type PayoffState } from './payoff-drum.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'
import { dancerRoomM } from './speed-limits.ts'
import { drivenPulledKg, emptyingPullN, swingMPerS2 } from './winding-tension.ts'

/** How the tension answers the ramps of a mounting. */
export interface RampAnswer {
  /** Tension at steady speed above the set one, N: an undriven drum that must turn faster as it empties. */
  steadyExtraN: number
  /** What is moved, as the cable feels it: tension per m/s². */
  pulledKg: number
  /** The most that it swings on after one change of acceleration; infinite without a jerk limit. */
  swingMostMPerS2: number
  /** Tension per m/s² that a recorded run shows, on ramps up and slowing down; 0: none recorded. */
  recordedUpKg: number
  recordedDownKg: number
  source: string
}

/** The cable that hangs between drum and cutter and is set in motion with a ramp. */
export interface HangingCable {
  odMm: number
  kgPerM: number
  /** Width that the drum is wound over. */
  traverseM: number
}

/** Null where it cannot be told: an undriven drum whose diameter is not known. */
export function rampAnswer(
  inputs: KnownInputs,
  states: PayoffState[],
  cable: HangingCable,
  tensionN: number,
  speedMPerS: number,
): RampAnswer | null {
  const { stretchEaKn, jerkMPerS3, drumToSparkM: lengthM } = inputs
  const swingMost = (kg: number) =>
    swingMPerS2(Number.POSITIVE_INFINITY, kg, { stretchEaKn, lengthM, jerkMPerS3 })
  if (inputs.payoffDriven) {
    // twice: the carriage is moved once when the ramp begins and once more when the drum has caught up
    const pulledKg = 2 * drivenPulledKg(tensionN, inputs.dancerFalls, cable.kgPerM, lengthM)
    const recordedUpKg = inputs.rampPulledKg ?? 0
    return {
      steadyExtraN: 0,
      pulledKg,
      swingMostMPerS2: swingMost(pulledKg / 2),
      recordedUpKg,
      recordedDownKg: inputs.slowSlackKg ?? 0,
      source: `dancer carriage and hanging cable set in motion, as if the force were dead weight; ${
        recordedUpKg > 0
          ? `the recorded run shows ${figureText(recordedUpKg, 1)} N per m/s² of ramp, and the larger counts`
          : 'friction and drive error not known, since no run of this line is recorded'
      }`,
    }
  }
  const drum = heaviest(states)
  if (!drum) return null
  const pulledKg = drum.pulledKg + cable.kgPerM * lengthM
  // area of a turn at its widest: a layer is never higher than the cable
  const turnAreaM2 = (cable.odMm / 1000) ** 2
  const steadyExtraN = Math.max(
    ...states.map((s) => emptyingPullN(s.pulledKg, speedMPerS, turnAreaM2, cable.traverseM, s.radiusM)),
  )
  return {
    steadyExtraN,
    pulledKg,
    swingMostMPerS2: swingMost(drum.pulledKg),
    recordedUpKg: 0,
    recordedDownKg: 0,
    source:
      'undriven drum, J·a/r² with the swing of the stretching cable; started taut, brake set for the tension at steady speed',
  }
}

/**
 * Highest tension of a run, N. The first ramp gives m·(a + swing); its end, and both ends of the slowing down, may each add their
 * swing before it has died away. Undamped, so never exceeded by a cable that damps.
 */
export function highestN(answer: RampAnswer, tensionN: number, upMPerS2: number, downMPerS2: number): number {
  const [up, down] = [swing(answer, upMPerS2), swing(answer, downMPerS2)]
  const moved = answer.pulledKg * Math.max(upMPerS2 + up, 2 * up + 2 * down)
  return tensionN + answer.steadyExtraN + Math.max(moved, answer.recordedUpKg * upMPerS2)
}

/** Lowest tension of a run, N, in the stop out of creep, which is the last of the swings. Below nought it would be slack. */
export function lowestN(answer: RampAnswer, tensionN: number, upMPerS2: number, downMPerS2: number): number {
  const [up, down] = [swing(answer, upMPerS2), swing(answer, downMPerS2)]
  const moved = answer.pulledKg * (downMPerS2 + 2 * up + 3 * down)
  return tensionN - Math.max(moved, answer.recordedDownKg * downMPerS2)
}

function swing(answer: RampAnswer, rampMPerS2: number): number {
  return Math.min(rampMPerS2, answer.swingMostMPerS2)
}

/** The steepest ramp, up and down alike, whose highest tension stays within a room, m/s²: `highestN` turned round. */
function steepestForPull(answer: RampAnswer, roomN: number): number {
  const room = roomN / answer.pulledKg
  const most = answer.swingMostMPerS2
  const moved = room / 4 <= most ? room / 4 : room - most
  return answer.recordedUpKg > 0 ? Math.min(moved, roomN / answer.recordedUpKg) : moved
}

/** The same for `lowestN`: the tension must not fall to nought. */
function steepestForSlack(answer: RampAnswer, tensionN: number): number {
  const room = tensionN / answer.pulledKg
  const most = answer.swingMostMPerS2
  const moved = room / 6 <= most ? room / 6 : room - 5 * most
  return answer.recordedDownKg > 0 ? Math.min(moved, tensionN / answer.recordedDownKg) : moved
}

const UNKNOWN = 'winding diameter of the drum not known'

/** What the ramp up must not exceed, m/s². */
export function rampRules(
  inputs: KnownInputs,
  answer: RampAnswer | null,
  tensionN: number,
  permittedN: number | null,
): LimitRule[] {
  const { rampCableS2 } = inputs
  return [
    rule('ramp', 'ramp of the line', inputs.accelMPerS2, sourceOf(inputs, 'accelMPerS2')),
    pullRule('ramp', answer, tensionN, permittedN),
    slackRule('ramp', answer, tensionN),
    rule(
      'ramp',
      'dancer travel in the ramp',
      rampCableS2 === null || rampCableS2 === 0 ? null : dancerRoomM(inputs) / rampCableS2,
      rampCableS2 === null ? 'no recorded run of this line' : sourceOf(inputs, 'rampCableS2'),
    ),
  ]
}

/** What the slowing down must not exceed, m/s². */
export function slowDownRules(
  inputs: KnownInputs,
  answer: RampAnswer | null,
  tensionN: number,
  permittedN: number | null,
): LimitRule[] {
  return [
    rule('slow-down', 'slow-down of the line', inputs.decelMPerS2, sourceOf(inputs, 'decelMPerS2')),
    pullRule('slow-down', answer, tensionN, permittedN),
    slackRule('slow-down', answer, tensionN),
  ]
}

function rule(on: 'ramp' | 'slow-down', name: string, value: number | null, source: string): LimitRule {
  return { name, on, sense: 'most', value, unit: 'm/s²', source }
}

export const PULL_RULE = 'permitted pull'

function pullRule(
  on: 'ramp' | 'slow-down',
  answer: RampAnswer | null,
  tensionN: number,
  permittedN: number | null,
): LimitRule {
  const known = answer !== null && permittedN !== null
  return rule(
    on,
    PULL_RULE,
    known ? steepestForPull(answer, permittedN - tensionN - answer.steadyExtraN) : null,
    answer?.source ?? UNKNOWN,
  )
}

function slackRule(on: 'ramp' | 'slow-down', answer: RampAnswer | null, tensionN: number): LimitRule {
  return rule(
    on,
    'slack at the pay-off',
    answer && steepestForSlack(answer, tensionN),
    answer?.source ?? UNKNOWN,
  )
}

/** The lowest of the values that are known, rounded down to what can be set. */
export function setFrom(rules: LimitRule[], step: number): { value: number; by: LimitRule } | null {
  const by = tightest(rules)
  if (!by) return null
  const value = by.value!
  // below a few steps the rounding would take too much
  return { value: value > 5 * step ? Number((Math.floor(value / step + 1e-9) * step).toFixed(6)) : value, by }
}
