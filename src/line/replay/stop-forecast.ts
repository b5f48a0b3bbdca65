import type { Places } from './place.ts'
import type { RunSetup } from './run-setup.ts'
import type { Timeline } from './timeline.ts'
import type { PieceSpan, Travel } from './travel.ts'

/** What can be said of a piece before it is cut. */
export interface StopForecast {
  /** `slow-down`: the last moment at which the preset can still be changed; `stop`: the drive has been told to stop; `stands`: what it came to. */
  when: 'slow-down' | 'stop' | 'stands'
  atS: number
  presetM: number
  /** What the counter should show at the stop. */
  counterM: number
  /** Cable since the counter stood at nought, by counter, checks and slips. */
  cableM: number
  /** Expanded uncertainty (k = 2), m. */
  uncertaintyM: number
  /** Cable less preset: below nought the piece is shorter than its preset. */
  againstPresetM: number
  text: string
}

/** How well a ramp keeps to its set deceleration, as a ratio. Estimate. */
const RAMP_SD_RATIO = 0.2

/**
 * Estimates of a piece's length before the cut. At the beginning of the slow-down the drive will still find its preset, so
 * the counter ends there, give or take the stop's scatter; once it is told to stop it goes on for v² / 2d. Either way
 * the cable is what the counter shows, over 1 + e, and what slipped so far.
 */
export function stopForecasts(
  timeline: Timeline,
  travel: Travel,
  places: Places,
  piece: PieceSpan,
  setup: RunSetup,
): StopForecast[] {
  const { samples } = timeline
  const { line } = setup
  const presetM = samples[piece.to]!.targetM
  const slow = slowDownAt(samples, piece)
  const stop = stopAt(samples, piece)
  const stands = samples[piece.to]!.vMS <= line.vCreepMMin / 600 ? piece.to : null
  const found: StopForecast[] = []
  const say = (when: StopForecast['when'], i: number, counterM: number, sdM: number) =>
    found.push(forecast(when, { i, counterM, sdM, presetM }, timeline, travel, places, piece, setup))
  const shown = (i: number) => samples[i]!.countM
  // a counter that was reset shows another figure than the preset is meant for: nothing can be foretold from it
  if (slow !== null && shown(slow) < presetM && samples[slow]!.vMS > 0)
    say('slow-down', slow, presetM, line.stopSdM)
  if (stop !== null && Number.isFinite(shown(stop) + samples[stop]!.vMS)) {
    const overrunM = samples[stop]!.vMS ** 2 / (2 * line.decelMS2)
    say('stop', stop, shown(stop) + overrunM, Math.hypot(line.stopSdM / 2, RAMP_SD_RATIO * overrunM))
  }
  if (stands !== null && Number.isFinite(shown(stands))) say('stands', stands, shown(stands), 0)
  return found
}

/** From here on the set speed never comes back to what it was. */
function slowDownAt(samples: Timeline['samples'], { from, to }: PieceSpan): number | null {
  let top = 0
  for (let i = from; i <= to; i++) top = Math.max(top, samples[i]!.vSetMS || 0)
  for (let i = to; i >= from; i--)
    if (samples[i]!.vSetMS >= 0.98 * top) return i < to && top > 0 ? i + 1 : null
  return null
}

/** The set speed is nought from here to the end of the piece. */
function stopAt(samples: Timeline['samples'], { from, to }: PieceSpan): number | null {
  let at: number | null = null
  for (let i = to; i >= from && samples[i]!.vSetMS === 0; i--) at = i
  return at !== null && at > from && at < to ? at : null
}

function forecast(
  when: StopForecast['when'],
  { i, counterM, sdM, presetM }: { i: number; counterM: number; sdM: number; presetM: number },
  { samples }: Timeline,
  travel: Travel,
  places: Places,
  piece: PieceSpan,
  { correction, line }: RunSetup,
): StopForecast {
  const scale = 1 + (correction?.errorRatio ?? 0)
  // cable of this piece so far, and what the counter has still to show
  const startM = travel.atM[piece.from]! - samples[piece.from]!.countM
  const soFarM = (travel.atM[i]! - startM) / scale + places.missedM[i]! - places.missedM[piece.from]!
  const cableM = soFarM + (counterM - samples[i]!.countM) / scale
  const errorSd = correction?.standardErrorRatio ?? line.counter.claimedErrorRatio / Math.sqrt(3)
  const slipSd = Math.sqrt(Math.max(0, places.uncertaintyM[i]! ** 2 - (errorSd * travel.atM[i]!) ** 2))
  const uncertaintyM = 2 * Math.hypot(errorSd * cableM, slipSd, sdM)
  const againstPresetM = cableM - presetM
  const off = `${Math.abs(againstPresetM).toFixed(2)} m ${againstPresetM < 0 ? 'short' : 'over'}`
  const run = when === 'stands' ? 'The run stopped' : 'The run will stop'
  const shows = `counter ${counterM.toFixed(2)} m, cable ${cableM.toFixed(2)} m`
  const text = `${run} ${off} of its preset of ${presetM} m (${shows}), give or take ${uncertaintyM.toFixed(2)} m.`
  return { when, atS: samples[i]!.tS, presetM, counterM, cableM, uncertaintyM, againstPresetM, text }
}
