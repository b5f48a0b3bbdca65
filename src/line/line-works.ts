import type { CableType } from '../cable/cable-type.ts'
import type { WorksSite } from '../hall/works-site.ts'
import type { CounterCheck } from '../measure/counter-check.ts'
import type { Putup } from '../putup/putup.ts'
import type { Drum } from '../strip/drum.ts'
import type { Fault } from '../strip/fault.ts'
import type { MarkSegment } from '../strip/mark-segment.ts'
import type { Stretch } from '../strip/usable.ts'
import type { LineSetting } from './run-inputs.ts'
import type { RunSample } from './run-sample.ts'
import type { SparkCheck, SparkTestedPiece } from './spark-check.ts'

/** What of a works the line sheet looks at. */
export interface LineWorks {
  site: WorksSite
  cables: CableType[]
  putups: Putup[]
  drums: Drum[]
  marks: MarkSegment[]
  faults: Fault[]
  counterChecks: CounterCheck[]
  /** Recorded runs, where there are any. */
  lineRun?: RunSample[]
  /** What the works has set for its lines beside the sixteen files. */
  lineSettings?: LineSetting[]
  /** Checks of the spark testers, and pieces cut; undefined: not recorded. */
  sparkChecks?: SparkCheck[]
  cutPieces?: SparkTestedPiece[]
  /** Stretches of a drum that a spark test is on record for; none where nothing is recorded. */
  sparkTested?: Map<string, Stretch[]>
}
