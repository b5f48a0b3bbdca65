import { UM_PER_M } from '../quantity/length.ts'
import type { LineLimit } from './line-limit.ts'
import { usedLimit } from './line-limit.ts'
import { type KnownInputs, sourceOf } from './run-inputs.ts'
import type { SparkWatch } from './spark-check.ts'
import type { UntestedStretch } from './spark-cover.ts'
import {
  dwellCycles,
  dwellSpeedMPerS,
  FAULT_SPACING_M,
  publishedMinKv,
  resolvingDistanceM,
  storedEnergyJ,
} from './spark-test.ts'

/** How the jacket is tested on this mounting. */
export interface SparkSettings {
  /** The works' controlled setting, kV rms. */
  kv: number
  publishedMinKv: number | null
  publishedSource: string | null
  /** At the speed of the sheet; slower is more. */
  dwellCycles: number | null
  minDwellCycles: number | null
  speedLimitMPerMin: number | null
  /** Metres that this mounting does not test and no record covers. */
  untestedM: number
  untested: UntestedStretch[]
  /** Cuts whose pieces are held until their stretch has been tested. */
  heldCuts: number[]
  /** Pinholes nearer than this count as one, m. */
  resolvingM: number
  /** The daily check of the tester, and what is suspect after failed ones. */
  check: SparkWatch
  /** What the cable of the whole drum may hold if its conductors are not bonded, J. */
  storedEnergyJ: number | null
}

export function sparkSettings(
  inputs: KnownInputs,
  speedMPerMin: number,
  onDrumM: number,
  untested: UntestedStretch[],
  check: SparkWatch,
): SparkSettings {
  const { sparkHz, electrodeMm, minDwellCycles, capPfM, sparkKv } = inputs
  const published = publishedMinKv(inputs.jacketWallMm)
  return {
    kv: sparkKv,
    publishedMinKv: published?.kv ?? null,
    publishedSource: published?.source ?? null,
    dwellCycles: sparkHz === null ? null : dwellCycles(sparkHz, electrodeMm, speedMPerMin / 60),
    minDwellCycles,
    speedLimitMPerMin:
      sparkHz === null || minDwellCycles === null
        ? null
        : dwellSpeedMPerS(sparkHz, electrodeMm, minDwellCycles) * 60,
    untestedM: untested.reduce((sum, s) => sum + s.toUm - s.fromUm, 0) / UM_PER_M,
    untested,
    heldCuts: [...new Set(untested.flatMap((s) => s.holds))].sort((a, b) => a - b),
    resolvingM: resolvingDistanceM(electrodeMm),
    check,
    storedEnergyJ: capPfM === null ? null : storedEnergyJ(capPfM, onDrumM, Math.SQRT2 * sparkKv),
  }
}

export function sparkLimits(inputs: KnownInputs, spark: SparkSettings): LineLimit[] {
  const rule = (name: string, sense: 'most' | 'least', value: number | null, unit: string, source: string) =>
    ({ name, on: 'spark', sense, value, unit, source }) as const
  return [
    usedLimit(
      rule(
        'published least voltage for the wall',
        'least',
        spark.publishedMinKv,
        'kV',
        spark.publishedSource ?? `none seen for a wall of ${inputs.jacketWallMm} mm`,
      ),
      spark.kv,
    ),
    usedLimit(
      rule('greatest voltage of the tester', 'most', inputs.sparkKvMax, 'kV', sourceOf(inputs, 'sparkKvMax')),
      spark.kv,
    ),
    usedLimit(
      rule('least voltage of the tester', 'least', inputs.sparkKvMin, 'kV', sourceOf(inputs, 'sparkKvMin')),
      spark.kv,
    ),
    usedLimit(
      rule(
        'cycles in the electrode',
        'least',
        spark.minDwellCycles,
        'cycles',
        sourceOf(inputs, 'minDwellCycles'),
      ),
      spark.dwellCycles,
    ),
    usedLimit(
      rule(
        'distance of two faults that must be told apart',
        'most',
        FAULT_SPACING_M,
        'm',
        'EuroWire Sept 2007 p. 54 (24 in; trade press)',
      ),
      spark.resolvingM,
    ),
  ]
}
