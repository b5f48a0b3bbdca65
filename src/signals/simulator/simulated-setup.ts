import { lineSettings } from '../../line/line-settings.ts'
import type { LineWorks } from '../../line/line-works.ts'
import { pieceRun } from '../../line/piece-run.ts'
import { counterCorrection } from '../../measure/counter-correction.ts'
import { seededRandom } from '../../plan/random.ts'
import { LastmetreError } from '../../quantity/errors.ts'
import { UM_PER_M } from '../../quantity/length.ts'
import type { Interval, Mounting } from '../../strip/cut-plan.ts'
import type { SimulatedSetup } from './simulated-line.ts'

export const SIMULATED_FAULTS = ['sparks', 'slip', 'reset', 'clock', 'drop-out'] as const

export type SimulatedFault = (typeof SIMULATED_FAULTS)[number]

/** Pieces that are run where no plan is given, true m: coils as they are sold, and a length beside them. */
const USUAL_M = [100, 100, 100, 50, 152.4]
const MOUNT_WAIT_S = 10
/** To cut scrap away takes no time in the works folder; some it does. */
const LEAST_HANDLING_S = 20
const SPARKS_PER_100_M = 1.5

/** How a line runs one mounting: by its presets and ramps, as on its run sheet. Errors: 'unknown-id' where the line cannot. */
export function simulatedSetup(
  works: LineWorks,
  lineId: string,
  mounting: Mounting | null,
  seed: number,
  faults: ReadonlySet<SimulatedFault>,
): SimulatedSetup {
  const line = works.site.lines.find(({ id }) => id === lineId)
  if (!line) throw new LastmetreError('unknown-id', `There is no line ${lineId} in lines.json.`)
  const run = mounting ?? usualMounting(works, lineId)
  const settings = lineSettings(works, [run])[0]
  const drum = works.drums.find((d) => d.drum === run.drum)
  const cable = works.cables.find((c) => c.cable === drum?.cable)
  if (!settings || !cable || settings.presets.length === 0)
    throw new LastmetreError('unknown-id', `There is nothing that ${lineId} could run.`)
  const limits = {
    speedMPerS: settings.speedMPerMin / 60,
    creepMPerS: line.vCreepMMin / 60,
    creepM: (line.vCreepMMin / 60) * 2,
    up: { accelMPerS2: settings.rampMPerS2, jerkMPerS3: null },
    down: { accelMPerS2: settings.slowDownMPerS2, jerkMPerS3: null },
  }
  const cuts = settings.presets.map(({ lengthM, handlingS }) => ({
    phases: pieceRun(lengthM, limits).phases,
    handlingS: Math.max(LEAST_HANDLING_S, handlingS),
  }))
  const lengthM = settings.presets.reduce((sum, preset) => sum + preset.lengthM, 0)
  const random = seededRandom(seed + 7_919)
  const somewhere = () => lengthM * (0.1 + 0.8 * random())
  return {
    ...{ seed, cuts, toCutterM: line.spark.toCutterM, electrodeM: line.spark.electrodeMm / 1000 },
    errorRatio: counterCorrection(lineId, works.counterChecks)?.errorRatio ?? 0,
    pulseM: line.counter.wheelCircMm / 1000 / line.counter.pulsesPerTurn,
    ...{ tensionN: settings.tensionN, dancerCentrePct: line.dancer.centrePct, odMm: cable.odMm },
    ...{ stopSdM: line.stopSdM, firstWaitS: MOUNT_WAIT_S },
    faults: {
      sparksPer100M: faults.has('sparks') ? SPARKS_PER_100_M : 1e-9,
      slips: faults.has('slip') ? [{ atM: somewhere(), lengthM: 8, share: 0.5 }] : [],
      resetsAtM: faults.has('reset') ? [somewhere()] : [],
    },
  }
}

/** The first process drum in the works that the line can take, cut into usual lengths. */
function usualMounting(works: LineWorks, lineId: string): Mounting {
  const line = works.site.lines.find(({ id }) => id === lineId)!
  const fits = (code: string) => {
    const cable = works.cables.find((c) => c.cable === code)
    return cable !== undefined && cable.odMm >= line.odMinMm && cable.odMm <= line.odMaxMm
  }
  const least = USUAL_M.reduce((sum, m) => sum + m, 0) * UM_PER_M
  const drum = works.drums.find((d) => d.kind === 'process_drum' && fits(d.cable) && d.bookUm > least)
  if (!drum)
    throw new LastmetreError('unknown-id', `No process drum of the works is long enough to run on ${lineId}.`)
  const intervals: Interval[] = []
  let atUm = 0
  for (const metres of USUAL_M) {
    const toUm = atUm + Math.round(metres * UM_PER_M)
    intervals.push({ fromUm: atUm, toUm, use: 'remnant', putup: line.takeupPutups[0] ?? null })
    atUm = toUm
  }
  intervals.push({ fromUm: atUm, toUm: drum.bookUm, use: 'remnant', putup: null })
  return { drum: drum.drum, line: lineId, intervals }
}
