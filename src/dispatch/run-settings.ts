import { prepareMountings } from '../line/line-settings.ts'
import type { LineWorks } from '../line/line-works.ts'
import type { MountingSettings } from '../line/mounting-settings.ts'
import { type SettingRow, settingRows, settingWarnings } from '../line/setting-rows.ts'
import type { Plan } from '../plan/plan.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { figureText } from '../quantity/length-text.ts'

/** How the line is set for one mounting, in the words of its run sheet. */
export interface RunSettings {
  /** For the head of the sheet: what is set, in short. */
  facts: [name: string, value: string][]
  /** Each setting with its reason and source. */
  rows: SettingRow[]
  warnings: string[]
  /** Counter readings by number of the cut. */
  presets: Map<number, { slow: string; stop: string }>
  /** Cuts whose pieces are held until they are spark tested. */
  held: Set<number>
}

/**
 * By number of the mounting. A mounting whose figures make no sense is printed without settings, and says why. Recorded runs and
 * what `more/` holds are used where the works that is handed in brings them along.
 */
export function runSettings(
  works: LineWorks,
  plan: Pick<Plan, 'mountings'>,
  /** Of this mounting only, from 0; null: of all. */
  only: number | null,
): Map<number, RunSettings> {
  const found = new Map<number, RunSettings>()
  for (const prepared of prepareMountings(works, plan.mountings)) {
    if (only !== null && prepared.number !== only + 1) continue
    try {
      found.set(prepared.number, inWords(prepared.settings({})))
    } catch (error) {
      if (!(error instanceof LastmetreError)) throw error
      const refused = `The line cannot be set by figures: ${error.message}`
      found.set(prepared.number, {
        facts: [],
        rows: [],
        warnings: [refused],
        presets: new Map(),
        held: new Set(),
      })
    }
  }
  return found
}

function inWords(s: MountingSettings): RunSettings {
  const permitted =
    s.permittedN === null ? 'greatest pull not known' : `never above ${figureText(s.permittedN, 0)} N`
  const cycles = s.spark.dwellCycles === null ? '' : `, ${figureText(s.spark.dwellCycles, 1)} cycles`
  const metres = (lengthM: number) => lengthM.toFixed(3)
  return {
    facts: [
      [
        'Tension',
        `${figureText(s.tensionN, 1)} N (dancer ${figureText(s.payoff.dancerForceN, 0)} N), ${permitted}`,
      ],
      [
        'Speed',
        `${s.speedMPerMin} m/min; ramp ${figureText(s.rampMPerS2, 2)} up, ${figureText(s.slowDownMPerS2, 2)} down m/s²`,
      ],
      ['Spark test', `${figureText(s.spark.kv, 1)} kV rms${cycles}`],
      ['Time', `about ${figureText(s.minutes, 0)} min`],
    ],
    rows: settingRows(s),
    warnings: settingWarnings(s),
    held: new Set(s.spark.heldCuts),
    presets: new Map(s.presets.map((p) => [p.cut, { slow: metres(p.slowAtM), stop: metres(p.stopAtM) }])),
  }
}
