import { type LimitRule, type LineLimit, usedLimit } from './line-limit.ts'
import type { Ramp } from './motion-profile.ts'
import type { PayoffState } from './payoff-drum.ts'
import type { KnownInputs } from './run-inputs.ts'
import {
  type HangingCable,
  PULL_RULE,
  type RampAnswer,
  rampAnswer,
  rampRules,
  setFrom,
  slowDownRules,
} from './run-tension.ts'
import { notPossible } from './set-tension.ts'
import { speedRules } from './speed-limits.ts'

/** Speed and ramps of a mounting, each the most that breaks no limit. */
export interface Motion {
  speedMPerMin: number
  up: Ramp
  down: Ramp
  /** How the tension answers the ramps; null: not known. */
  answer: RampAnswer | null
  /** The permitted pull is what holds the ramp back. */
  boundByPull: boolean
  /** All limits of speed and ramps, given the speed that is set and the highest that any cut reaches. */
  limits: (usedMPerMin: number, reachedMPerMin: number) => LineLimit[]
}

const SPEED_STEP_M_MIN = 1
const RAMP_STEP_M_S2 = 0.01

export function setMotion(
  where: string,
  inputs: KnownInputs,
  states: PayoffState[],
  hanging: HangingCable,
  tensionN: number,
  permittedN: number | null,
): Motion {
  const speeds = speedRules(inputs)
  // the line's own figures are always known, so there always is one that is tightest
  const fastest = setFrom(speeds, SPEED_STEP_M_MIN)!
  const answer = rampAnswer(inputs, states, hanging, tensionN, fastest.value / 60)
  const ups = rampRules(inputs, answer, tensionN, permittedN)
  const downs = slowDownRules(inputs, answer, tensionN, permittedN)
  const up = setFrom(ups, RAMP_STEP_M_S2)!
  const down = setFrom(downs, RAMP_STEP_M_S2)!
  if (!(up.value > 0)) throw notPossible(where, up.by.name, tensionN, permittedN)
  return {
    speedMPerMin: fastest.value,
    up: { accelMPerS2: up.value, jerkMPerS3: inputs.jerkMPerS3 },
    down: { accelMPerS2: down.value, jerkMPerS3: inputs.jerkMPerS3 },
    answer,
    boundByPull: up.by.name === PULL_RULE,
    limits: (usedMPerMin, reachedMPerMin) => [
      ...speeds.map((rule) =>
        usedLimit(rule, usedMPerMin, rule === fastest.by && usedMPerMin === fastest.value),
      ),
      usedLimit(reached(reachedMPerMin), usedMPerMin, usedMPerMin < fastest.value),
      ...ups.map((rule) => usedLimit(rule, up.value, rule === up.by)),
      ...downs.map((rule) => usedLimit(rule, down.value, rule === down.by)),
    ],
  }
}

function reached(reachedMPerMin: number): LimitRule {
  return {
    name: 'reached by the longest cut',
    on: 'speed',
    sense: 'most',
    value: reachedMPerMin > 0 ? Math.ceil(reachedMPerMin) : null,
    unit: 'm/min',
    source: 'ramps up, down to creep and creep fill a shorter cut',
  }
}
