import { sampleStats } from '../measure/sample-stats.ts'
import type { RunSample } from './run-sample.ts'

/** What the recorded runs of a line teach about it; null where they do not show it. */
export interface LearnedRun {
  line: string
  cable: string
  /** Runs that ended in a stop. */
  stops: number
  /** Cable that passed after the stop was ordered, m; spread null below two runs. */
  overrunMeanM: number | null
  overrunSdM: number | null
  /** Tension above that at steady speed, per m/s² of ramp up, N s²/m = kg. */
  rampPulledKg: number | null
  /** Tension below that at steady speed, per m/s² of slowing down, kg. */
  slowSlackKg: number | null
  /** Cable that the dancer gives out while the speed rises, per m/s² of ramp, m s²/m = s². */
  rampCableS2: number | null
}

/** Samples needed on a ramp and at steady speed for a mean worth having. */
const ENOUGH = 20
/** Samples on either side over which the acceleration is taken: half a second at 10 Hz, against the steps of the speed signal. */
const SPAN = 5
/** Below this the speed counts as steady, m/s². */
const STEADY_MPERS2 = 0.05

/** Means over the ramp up and at steady speed of the runs of one line; null where none is recorded. */
export function learnedRun(
  line: string,
  samples: RunSample[],
  dancer: { travelM: number; falls: number },
  ramps: { accelMPerS2: number; decelMPerS2: number },
): LearnedRun | null {
  const own = samples.filter((s) => s.line === line)
  if (own.length === 0) return null
  const steady: RunSample[] = []
  const rising: Ramping[] = []
  const falling: Ramping[] = []
  for (let i = SPAN; i < own.length - SPAN; i++) {
    const [before, after, sample] = [own[i - SPAN]!, own[i + SPAN]!, own[i]!]
    const accel = (after.vMS - before.vMS) / (after.tS - before.tS)
    if (!(after.tS > before.tS) || !Number.isFinite(accel)) continue
    if (Math.abs(accel) < STEADY_MPERS2 && sample.vMS > 0) steady.push(sample)
    else if (accel > ramps.accelMPerS2 / 2) rising.push({ sample, accel })
    else if (accel < -ramps.decelMPerS2 / 2) falling.push({ sample, accel: -accel })
  }
  const cablePerPct = (dancer.travelM * dancer.falls) / 100
  const overruns = sampleStats(overrunsM(own))
  const tension = (s: RunSample) => s.tensionN
  const gained = perAccel(steady, rising, tension)
  const lost = perAccel(steady, falling, tension)
  const cable = perAccel(steady, rising, (s) => s.dancerPct * cablePerPct)
  return {
    line,
    cable: own[0]!.cable,
    stops: overruns.count,
    overrunMeanM: overruns.count > 0 ? overruns.mean : null,
    overrunSdM: overruns.sd,
    rampPulledKg: gained === null ? null : Math.max(0, gained),
    slowSlackKg: lost === null ? null : Math.max(0, -lost),
    rampCableS2: cable === null ? null : Math.abs(cable),
  }
}

interface Ramping {
  sample: RunSample
  accel: number
}

/** Mean change against steady speed per m/s² of ramp; null where there are too few samples of either. */
function perAccel(steady: RunSample[], ramping: Ramping[], of: (s: RunSample) => number): number | null {
  if (steady.length < ENOUGH || ramping.length < ENOUGH) return null
  const base = sampleStats(steady.map(of)).mean
  return sampleStats(ramping.map((r) => (of(r.sample) - base) / r.accel)).mean
}

/** Counter at standstill less counter at the last sample before the stop was ordered: known to one sample's way. */
function overrunsM(samples: RunSample[]): number[] {
  const overruns: number[] = []
  let orderedAtM: number | null = null
  for (const sample of samples) {
    if (sample.vSetMS > 0) orderedAtM = sample.countM
    else if (sample.state === 'STOP' && orderedAtM !== null) {
      overruns.push(sample.countM - orderedAtM)
      orderedAtM = null
    }
  }
  return overruns
}
