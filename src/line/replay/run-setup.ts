import type { CableType } from '../../cable/cable-type.ts'
import type { RewindingLine } from '../../hall/rewinding-line.ts'
import type { WorksSite } from '../../hall/works-site.ts'
import type { CounterCheck } from '../../measure/counter-check.ts'
import { type CounterCorrection, counterCorrection } from '../../measure/counter-correction.ts'
import type { PutupRules } from '../../putup/putup-rules.ts'
import type { RunSample } from '../run-sample.ts'

/** What is known of a run before its record is looked at. */
export interface RunSetup {
  line: RewindingLine
  cable: Pick<CableType, 'odMm' | 'odTolMm' | 'lineTensionN' | 'pullMaxN' | 'sparkKvRms'>
  putupRules: Pick<PutupRules, 'layerFactor'>
  /** The counter's error by its tape checks; null where nothing is known. */
  correction: Pick<CounterCorrection, 'errorRatio' | 'standardErrorRatio'> | null
  /** Place of the strip, m from its outer end, that lay at the cutter when the counter stood at nought. */
  startM: number
}

/** What a works knows of a run on one of its lines. The counter's error is the mean of its last checks, as on run sheets. */
export function runSetup(works: SetupWorks, of: Pick<RunSample, 'line' | 'cable'>): RunSetup | null {
  const line = works.site.lines.find(({ id }) => id === of.line)
  const cable = works.cables.find((type) => type.cable === of.cable)
  if (!line || !cable) return null
  const correction = counterCorrection(line.id, works.counterChecks)
  return { line, cable, putupRules: works.site.putupRules, correction, startM: 0 }
}

interface SetupWorks {
  site: Pick<WorksSite, 'lines' | 'putupRules'>
  cables: CableType[]
  counterChecks: CounterCheck[]
}

/** Defaults that a works may doubt; each with its source. */
export const REPLAY_LIMITS = {
  /** A standstill in mid-piece is a micro-stop up to this, s. From memory of production records, where minor stops end at 5 min. */
  microStopMaxS: 300,
  /** Tension may leave the set tension by this share before it is a finding. Common practice: the taper runs to 20 %. */
  tensionBandRatio: 0.2,
  /** "Near" a limit of the dancer, points of its travel. No source; an estimate. */
  dancerNearPct: 5,
  /** Spark voltage below this share of the setting counts as off. No source; an estimate. */
  sparkKvRatio: 0.9,
  /** Slower than this is standing still, m/s. A tenth of the slowest crawl speed in use. */
  standstillMS: 0.01,
} as const
