import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { Putup } from '../putup/putup.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import { handlingS, putupMinutes } from './changeover.ts'
import { type CutRun, cutRun, RunCache } from './cut-run.ts'
import { fixedLimits } from './fixed-limits.ts'
import { type LimitRule, type LineLimit, tightest, usedLimit } from './line-limit.ts'
import { rampDistanceM } from './motion-profile.ts'
import { type Motion, setMotion } from './motion-setting.ts'
import type { PayoffState } from './payoff-drum.ts'
import { type PayoffSettings, payoffSettings } from './payoff-settings.ts'
import { strainRatio } from './permitted-pull.ts'
import { pullRules } from './pull-limits.ts'
import type { KnownInputs } from './run-inputs.ts'
import { type HangingCable, highestN, lowestN } from './run-tension.ts'
import { setTension } from './set-tension.ts'
import type { SparkWatch } from './spark-check.ts'
import type { UntestedStretch } from './spark-cover.ts'
import { type SparkSettings, sparkLimits, sparkSettings } from './spark-settings.ts'
import { taperedTensionN } from './winding-tension.ts'

/** Everything that is set for one mounting on a line, with the limits it rests on. */
export interface MountingSettings {
  /** Number of the mounting in the plan, from 1. */
  mounting: number
  drum: string
  line: string
  cable: string
  speedMPerMin: number
  /** Beyond this no cut of the mounting gains time worth having. */
  worthMPerMin: number
  /** Ramp up, and slowing down. */
  rampMPerS2: number
  slowDownMPerS2: number
  /** Set tension on the barrel, and with taper on the outermost layer that is wound. */
  tensionN: number
  fullTensionN: number
  /** What the cable sees: at steady speed, at most and at least over a run with its ramps; null: not known. */
  steadyN: number
  mostN: number | null
  leastN: number | null
  permittedN: number | null
  payoff: PayoffSettings
  strainRatio: number | null
  /** From full speed by the slow-down, and by the emergency stop. */
  stopM: number
  estopM: number
  spark: SparkSettings
  presets: CutRun[]
  /** The counter's error that the presets hold; null: not known, and so not in them. */
  counterErrorRatio: number | null
  overrunM: number
  overrunLearned: boolean
  stopSdM: number
  minutes: number
  mountMinutes: number
  putupMinutes: number
  runMinutes: number
  handlingMinutes: number
  limits: LineLimit[]
}

export interface Build {
  barrelMm: number
  outerMm: number
}

export interface MountingCase {
  number: number
  mounting: Mounting
  cable: string
  line: RewindingLine
  inputs: KnownInputs
  /** The drum as it is mounted, and as it stands after the last cut; empty where its winding cannot be told. */
  states: PayoffState[]
  hanging: HangingCable
  onDrumM: number
  untested: UntestedStretch[]
  sparkWatch: SparkWatch
  mountMinutes: number
  putupOf: (putup: string) => Putup | undefined
  /** From which to which diameter each wound cut builds. */
  builds: Build[]
  /** Smallest step of a preset. */
  stepUm: LengthUm
}

export function mountingSettings(given: MountingCase): MountingSettings {
  const { inputs, mounting, line } = given
  const where = `mounting ${given.number}, drum ${mounting.drum} on ${line.id}`
  const pulls = pullRules(inputs)
  const permitted = tightest(pulls)
  const permittedN = permitted?.value ?? null
  const tension = setTension(inputs, permittedN)
  const { tensionN } = tension
  const motion = setMotion(where, inputs, given.states, given.hanging, tensionN, permittedN)
  const strain = strainRatio(tensionN, inputs.stretchEaKn)
  const overrunM = inputs.overrunM ?? creepStopM(inputs, motion)
  const presets = cutRuns(given, motion, strain, overrunM)
  const longestMPerMin = Math.max(0, ...presets.map((p) => p.peakMPerMin))
  const speedMPerMin =
    presets.length > 0 ? Math.min(motion.speedMPerMin, Math.ceil(longestMPerMin)) : motion.speedMPerMin
  const speedMPerS = speedMPerMin / 60
  const spark = sparkSettings(inputs, speedMPerMin, given.onDrumM, given.untested, given.sparkWatch)
  const { answer } = motion
  const steadyN = tensionN + (answer?.steadyExtraN ?? 0)
  const [up, down] = [motion.up.accelMPerS2, motion.down.accelMPerS2]
  const mostN = answer && highestN(answer, tensionN, up, down)
  return {
    mounting: given.number,
    drum: mounting.drum,
    line: line.id,
    cable: given.cable,
    speedMPerMin,
    worthMPerMin: Math.min(speedMPerMin, Math.ceil(Math.max(0, ...presets.map((p) => p.worthMPerMin)))),
    rampMPerS2: up,
    slowDownMPerS2: down,
    tensionN,
    fullTensionN: Math.min(
      tensionN,
      ...given.builds.map((b) => taperedTensionN(tensionN, inputs.taperRatio, b.barrelMm, b.outerMm)),
    ),
    steadyN,
    mostN,
    leastN: answer && lowestN(answer, tensionN, up, down),
    permittedN,
    payoff: payoffSettings(given, motion, tensionN, speedMPerS),
    strainRatio: strain,
    stopM: rampDistanceM(speedMPerS, 0, motion.down),
    estopM: speedMPerS ** 2 / (2 * inputs.estopMPerS2),
    spark,
    presets,
    counterErrorRatio: inputs.counterErrorRatio,
    overrunM,
    overrunLearned: inputs.overrunM !== null,
    stopSdM: inputs.stopSdM,
    ...minutesOf(given, presets),
    limits: [
      ...motion.limits(speedMPerMin, longestMPerMin),
      ...tension.limits,
      ...pullLimits(pulls, permitted, mostN ?? steadyN, tension.cut || motion.boundByPull),
      ...fixedLimits(inputs),
      ...sparkLimits(inputs, spark),
    ],
  }
}

/** Metres that a stop out of creep takes by the ramp alone: expected where none has been learned. */
function creepStopM(inputs: KnownInputs, motion: Motion): number {
  return rampDistanceM(Math.min(inputs.creepMPerMin, motion.speedMPerMin) / 60, 0, motion.down)
}

function cutRuns(given: MountingCase, motion: Motion, strain: number | null, overrunM: number): CutRun[] {
  const { inputs, line, mounting } = given
  const creepMPerS = inputs.creepMPerMin / 60
  const context = {
    limits: {
      speedMPerS: motion.speedMPerMin / 60,
      creepMPerS,
      creepM: creepMPerS * inputs.creepS + inputs.creepStopSds * inputs.stopSdM,
      up: motion.up,
      down: motion.down,
    },
    overrunM,
    errorRatio: inputs.counterErrorRatio ?? 0,
    stepUm: given.stepUm,
    strain,
    worthRatio: inputs.worthRatio,
  }
  const runs = new RunCache()
  const last = mounting.intervals.length - 1
  return mounting.intervals.flatMap((interval, i) => {
    const rest =
      (interval.use === 'remnant' && interval.putup === null) || (i === last && interval.use === 'end')
    if (rest || interval.toUm <= interval.fromUm) return []
    const putup = 'putup' in interval && interval.putup !== null ? given.putupOf(interval.putup) : undefined
    return [cutRun(interval, i + 1, handlingS(line, interval, putup), context, runs)]
  })
}

function pullLimits(
  pulls: LimitRule[],
  permitted: LimitRule | null,
  usedN: number,
  binds: boolean,
): LineLimit[] {
  return pulls.map((rule) => usedLimit(rule, usedN, binds && rule === permitted))
}

function minutesOf(given: MountingCase, presets: CutRun[]) {
  const runMinutes = presets.reduce((sum, p) => sum + p.runS, 0) / 60
  const handlingMinutes = presets.reduce((sum, p) => sum + p.handlingS, 0) / 60
  const between = putupMinutes(given.line, given.mounting.intervals)
  return {
    minutes: given.mountMinutes + between + runMinutes + handlingMinutes,
    mountMinutes: given.mountMinutes,
    putupMinutes: between,
    runMinutes,
    handlingMinutes,
  }
}
