import type { CableType } from '../cable/cable-type.ts'
import type { RewindingLine } from '../hall/rewinding-line.ts'
import type { WorksSite } from '../hall/works-site.ts'
import type { CounterCorrection } from '../measure/counter-correction.ts'
import type { Putup } from '../putup/putup.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { LearnedRun } from './learned-run.ts'
import { THREADING_M } from './mountable.ts'
import { SIDEWALL_N_PER_M, wireAreaMm2 } from './permitted-pull.ts'
import { DEFAULTS, type RunInputs } from './run-inputs.ts'

export interface InputSources {
  site: WorksSite
  line: RewindingLine
  cable: CableType
  /** The drum's put-up and tare as weighed. */
  bareInertiaKgM2: number
  correction: CounterCorrection | null
  learned: LearnedRun | null
  /** Put-ups that the mounting winds on. */
  takeups: Putup[]
}

/** Every input of a mounting as the works gives it. */
export function gatherInputs(from: InputSources): RunInputs {
  const { site, cable, correction, learned } = from
  return {
    ...lineInputs(from.line),
    jerkMPerS3: DEFAULTS.jerkMPerS3,
    payoffDriven: DEFAULTS.payoffDriven,
    payoffLagS: DEFAULTS.payoffLagS,
    rampPulledKg: learned?.rampPulledKg ?? null,
    slowSlackKg: learned?.slowSlackKg ?? null,
    rampCableS2: learned?.rampCableS2 ?? null,
    overrunM: learned?.overrunMeanM ?? null,
    stopSdM: learned?.overrunSdM ?? from.line.stopSdM,
    bareInertiaKgM2: from.bareInertiaKgM2,
    ...cableInputs(cable),
    copperStressNPerMm2: DEFAULTS.copperStressNPerMm2,
    copperModulusNPerMm2: DEFAULTS.copperModulusNPerMm2,
    sidewallNPerM: SIDEWALL_N_PER_M,
    takeupBarrelMm: from.takeups.length > 0 ? Math.min(...from.takeups.map((p) => p.barrelMm)) : null,
    capstanCircM: site.rollerCircumferencesM[`${from.line.id}_capstan`] ?? null,
    minDwellCycles: DEFAULTS.minDwellCycles,
    counterErrorRatio: correction?.errorRatio ?? null,
    pieceTrimM: site.cutRules.pieceTrimUm / UM_PER_M,
    creepS: DEFAULTS.creepS,
    creepStopSds: DEFAULTS.creepStopSds,
    worthRatio: DEFAULTS.worthRatio,
  }
}

function lineInputs(line: RewindingLine) {
  const { dancer, spark } = line
  return {
    speedMaxMPerMin: line.vMaxMMin,
    creepMPerMin: line.vCreepMMin,
    accelMPerS2: line.accelMS2,
    decelMPerS2: line.decelMS2,
    estopMPerS2: line.estopDecelMS2,
    dancerFalls: dancer.falls,
    dancerTravelM: dancer.travelM,
    dancerForceMinN: dancer.forceMinN,
    dancerForceMaxN: dancer.forceMaxN,
    dancerCentrePct: dancer.centrePct,
    dancerLowPct: dancer.limitLowPct,
    dancerHighPct: dancer.limitHighPct,
    drumToSparkM: dancer.storedM + THREADING_M,
    sparkHz: frequencyHz(spark.kind),
    electrodeMm: spark.electrodeMm,
    sparkKvMin: spark.kvMin,
    sparkKvMax: spark.kvMax,
    sparkToCutterM: spark.toCutterM,
  }
}

function cableInputs(cable: CableType) {
  return {
    tensionN: cable.lineTensionN,
    taperRatio: cable.solidFraction < 1 ? DEFAULTS.foamTaperRatio : 0,
    pullMaxN: cable.pullMaxN,
    innerCopperMm2: wireAreaMm2(cable.innerStrands, cable.innerWireMm),
    stretchEaKn: cable.stretchEaKn,
    bendMinRepeatedMm: cable.bendMinRepeatedMm,
    barrelMinMm: cable.barrelMinMm,
    sparkKv: cable.sparkKvRms,
    jacketWallMm: cable.jacketWallMm,
    capPfM: cable.capPfM,
  }
}

/** "AC 50 Hz bead chain" → 50; null where the tester's kind names no frequency. */
export function frequencyHz(kind: string): number | null {
  const found = /(\d+(?:\.\d+)?)\s*(k?)Hz\b/i.exec(kind)
  if (!found) return null
  const hz = Number(found[1]) * (found[2] ? 1000 : 1)
  return hz > 0 ? hz : null
}
