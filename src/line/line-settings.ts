import type { CableType } from '../cable/cable-type.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import type { Putup } from '../putup/putup.ts'
import type { PutupRules } from '../putup/putup-rules.ts'
import { windingAt, windingOf } from '../putup/winding.ts'
import { UM_PER_M } from '../quantity/length.ts'
import type { Mounting } from '../strip/cut-plan.ts'
import type { Stretch } from '../strip/usable.ts'
import { mountMinutes } from './changeover.ts'
import { changedInputs } from './check-inputs.ts'
import { presetStepUm } from './counter-preset.ts'
import { gatherInputs } from './gather-inputs.ts'
import { type LearnedRun, learnedRun } from './learned-run.ts'
import type { LineWorks } from './line-works.ts'
import { type Build, type MountingSettings, mountingSettings } from './mounting-settings.ts'
import { bareInertiaKgM2, payoffState } from './payoff-drum.ts'
import type { LineOverrides, RunInputs } from './run-inputs.ts'
import { sparkWatch } from './spark-check.ts'
import { sparkTested, untestedStretches } from './spark-cover.ts'

/** A mounting ready to be computed, with its inputs as the works gives and sets them. */
export interface PreparedMounting {
  number: number
  inputs: RunInputs
  /** The settings with some of the inputs changed. Quick: made for a screen that follows the hand. */
  settings: (overrides: LineOverrides) => MountingSettings
}

/** The settings of every mounting of a plan that is run on a line; bench mountings have none. */
export function lineSettings(
  works: LineWorks,
  mountings: Mounting[],
  overrides: LineOverrides = {},
): MountingSettings[] {
  return prepareMountings(works, mountings).map((prepared) => prepared.settings(overrides))
}

export function prepareMountings(works: LineWorks, mountings: Mounting[]): PreparedMounting[] {
  const putups = new Map(works.putups.map((p) => [p.putup, p]))
  const drums = new Map(works.drums.map((d) => [d.drum, d]))
  const cables = new Map(works.cables.map((c) => [c.cable, c]))
  const cableBefore = new Map<string, string>()
  const tested = new Map<string, Stretch[]>(works.sparkTested ?? [])
  const lines = new Map(works.site.lines.map((line) => [line.id, lineFacts(works, line.id)]))
  return mountings.flatMap((mounting, index): PreparedMounting[] => {
    const facts = lines.get(mounting.line)
    const drum = drums.get(mounting.drum)
    const cable = cables.get(drum?.cable ?? '')
    const putup = putups.get(drum?.putup ?? '')
    if (!facts || !drum || !cable || !putup) return []
    const gathered = gatherInputs({
      site: works.site,
      line: facts.line,
      cable,
      bareInertiaKgM2: bareInertiaKgM2(putup, drum.tareKg),
      correction: facts.correction,
      learned: facts.learned,
      takeups: takeupsOf(mounting, putups).map((takeup) => takeup.putup),
    })
    const before = cableBefore.get(facts.line.id) ?? null
    cableBefore.set(facts.line.id, cable.cable)
    const seen = tested.get(drum.drum) ?? []
    tested.set(drum.drum, [...seen, sparkTested(sparkRun(mounting, gathered))])
    const given = { works, facts, mounting, number: index + 1, cable, putup, putups, gathered, before, seen }
    const set = Object.fromEntries(facts.settings.map((s) => [s.input, s.value]))
    return [
      {
        number: index + 1,
        inputs: { ...gathered, ...set },
        settings: (overrides) => settingsOf(given, overrides),
      },
    ]
  })
}

interface Given {
  works: LineWorks
  facts: ReturnType<typeof lineFacts>
  mounting: Mounting
  number: number
  cable: CableType
  /** What the drum is on. */
  putup: Putup
  putups: Map<string, Putup>
  gathered: RunInputs
  /** Cable that the line ran before. */
  before: string | null
  /** What of the drum is spark tested already. */
  seen: Stretch[]
}

function settingsOf(given: Given, overrides: LineOverrides): MountingSettings {
  const { works, facts, mounting, number, cable, putup, putups, gathered } = given
  const { line } = facts
  const where = `mounting ${number}, drum ${mounting.drum} on ${line.id}`
  const inputs = changedInputs(gathered, facts.settings, overrides, where)
  const { putupRules } = works.site
  const lengths = lengthsM(mounting)
  const states = lengths.flatMap((lengthM) => {
    const state = payoffState(putup, cable, putupRules, lengthM, inputs.bareInertiaKgM2)
    return state ? [state] : []
  })
  const otherBarrelMm = overrides.takeupBarrelMm ?? null
  return mountingSettings({
    number,
    mounting,
    cable: cable.cable,
    line,
    inputs,
    states,
    hanging: { odMm: cable.odMm, kgPerM: cable.massKgKm / 1000, traverseM: putup.traverseMm / 1000 },
    onDrumM: lengths[0],
    untested: untestedStretches(sparkRun(mounting, inputs), given.seen),
    sparkWatch: facts.watch,
    mountMinutes: mountMinutes(line, cable.cable, given.before),
    putupOf: (id) => putups.get(id),
    builds: buildsOf(takeupsOf(mounting, putups), cable.odMm, putupRules, otherBarrelMm),
    stepUm: presetStepUm(line),
  })
}

function sparkRun({ intervals }: Mounting, inputs: RunInputs) {
  return {
    intervals,
    toCutterUm: Math.round(inputs.sparkToCutterM * UM_PER_M),
    fromDrumUm: Math.round(inputs.drumToSparkM * UM_PER_M),
  }
}

function lineFacts(works: LineWorks, id: string) {
  const line = works.site.lines.find((l) => l.id === id)!
  const learned: LearnedRun | null = works.lineRun
    ? learnedRun(id, works.lineRun, line.dancer, { accelMPerS2: line.accelMS2, decelMPerS2: line.decelMS2 })
    : null
  const watch = sparkWatch(id, works.sparkChecks ?? null, works.cutPieces ?? [], works.site.works.todayDate)
  const settings = (works.lineSettings ?? []).filter((s) => s.line === id)
  return { line, watch, settings, correction: counterCorrection(id, works.counterChecks), learned }
}

interface Takeup {
  putup: Putup
  lengthM: number
}

/** What the mounting winds, and on what. */
function takeupsOf({ intervals }: Mounting, putups: Map<string, Putup>): Takeup[] {
  return intervals.flatMap((interval): Takeup[] => {
    const putup = 'putup' in interval && interval.putup !== null ? putups.get(interval.putup) : undefined
    return putup ? [{ putup, lengthM: (interval.toUm - interval.fromUm) / UM_PER_M }] : []
  })
}

/** What each wound cut builds to; on another barrel where that was changed. */
function buildsOf(takeups: Takeup[], odMm: number, rules: PutupRules, otherBarrelMm: number | null): Build[] {
  return takeups.flatMap(({ putup: asked, lengthM }): Build[] => {
    const putup = otherBarrelMm === null ? asked : { ...asked, barrelMm: otherBarrelMm }
    const winding = windingOf(putup, odMm, rules)
    if (!winding) return []
    return [{ barrelMm: putup.barrelMm, outerMm: windingAt(winding, lengthM).outerDiameterMm }]
  })
}

/** Cable on the drum when it is mounted, and what stays on it after the last cut, m. */
function lengthsM({ intervals }: Mounting): [number, number] {
  const first = intervals[0]
  const last = intervals[intervals.length - 1]
  if (!first || !last) return [0, 0]
  const stays = intervals.find((i) => i.use === 'remnant' && i.putup === null)
  return [(last.toUm - first.fromUm) / UM_PER_M, stays ? (stays.toUm - stays.fromUm) / UM_PER_M : 0]
}
