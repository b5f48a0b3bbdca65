import type { CableType } from '../cable/cable-type.ts'
import type { SettingRow } from '../line/setting-rows.ts'
import { counterCorrection } from '../measure/counter-correction.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { lengthText } from '../quantity/length-text.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { markText } from '../strip/mark-text.ts'
import { type UsableDrum, usableDrum } from '../strip/usable.ts'
import { benchDangers, lineDangers } from './dangers.ts'
import { guardWarning } from './guard-warning.ts'
import { type PaperMeta, planText } from './paper-meta.ts'
import { numberedPieces } from './piece-number.ts'
import { runFacts } from './run-facts.ts'
import { type RunRow, runRow } from './run-row.ts'
import { runSettings } from './run-settings.ts'
import { correctionText, drumWarnings, guardText } from './run-warnings.ts'

/** What the operator gets for one mounting: all words and figures, no layout. */
export interface RunSheet {
  /** Number of the mounting in the plan, from 1. */
  number: number
  of: number
  title: string
  bench: boolean
  works: string
  plan: string
  /** Opens the record when it is scanned. */
  code: string
  dangers: string[]
  facts: [name: string, value: string][]
  /** How the presets came about; empty at a bench. */
  correction: string
  warnings: string[]
  rows: RunRow[]
  /** How the line is set, with reason and source of each figure; empty at a bench. */
  settings: SettingRow[]
  /** What to do with what is left. */
  rest: string
  signatures: string[]
  usable: UsableDrum
  mounting: Mounting
}

/** The run sheets of a plan, one per mounting, in the order of the plan; `only`: of this mounting, from 0. */
export function runSheets(
  input: PlanInput,
  plan: Pick<Plan, 'mountings'>,
  meta: PaperMeta,
  only: number | null = null,
): RunSheet[] {
  const orders = new Map(input.orders.map((o) => [`${o.order} ${o.line}`, o]))
  const first = new Map<string, number>()
  for (const n of numberedPieces(plan)) {
    const key = `${n.mounting} ${n.interval}`
    if (!first.has(key)) first.set(key, n.sequence)
  }
  const settings = runSettings(input, plan, only)
  return plan.mountings.flatMap((mounting, index): RunSheet[] => {
    if (only !== null && index !== only) return []
    const { usable, cable } = drumOf(input, mounting)
    const line = input.site.lines.find((l) => l.id === mounting.line) ?? null
    const correction = line ? counterCorrection(line.id, input.counterChecks) : null
    const set = settings.get(index + 1) ?? null
    const context = {
      input,
      usable,
      planNumber: meta.planNumber,
      line,
      correction,
      heldOf: (cut: number) => set?.held.has(cut) ?? false,
      presetOf: (cut: number) => set?.presets.get(cut) ?? null,
      orderOf: (order: string, orderLine: number) => orders.get(`${order} ${orderLine}`),
      sequenceOf: (interval: number) => first.get(`${index} ${interval}`) ?? 0,
    }
    const guard = line ? guardWarning(line.id, input, plan, correction) : null
    const { intervals } = mounting
    const sheet = {
      number: index + 1,
      of: plan.mountings.length,
      title: `${line ? 'Run sheet' : 'Bench sheet'} ${index + 1} of ${plan.mountings.length}: ${mounting.line}, drum ${mounting.drum}`,
      bench: !line,
      works: `${input.site.works.name}, ${input.site.works.town}`,
      plan: planText(meta),
      code: `lastmetre:plan/${meta.planNumber}/mounting/${index + 1}`,
      dangers: line ? lineDangers(cable, usable.drum.grossKg) : benchDangers(usable.drum.grossKg),
      facts: runFacts(input, plan, index, usable, cable, set?.facts ?? []),
      correction: line ? correctionText(line.id, correction) : '',
      warnings: [
        ...(guard ? [guardText(guard)] : []),
        ...drumWarnings(usable, intervals, cable.massKgKm),
        ...(set?.warnings ?? []),
      ],
      rows: intervals.map((interval, i) => runRow(interval, i, i === intervals.length - 1, context)),
      settings: set?.rows ?? [],
      rest: restText(usable, intervals),
      signatures: line
        ? ['Drum, lot and mark checked', 'Earth bond and spark test checked', 'Run by', 'Released by']
        : ['Coil and lot checked', 'Cut by', 'Released by'],
      usable,
      mounting,
    }
    return [sheet]
  })
}

function drumOf(input: PlanInput, mounting: Mounting): { usable: UsableDrum; cable: CableType } {
  const drum = input.drums.find((d) => d.drum === mounting.drum)
  const cable = input.cables.find((c) => c.cable === drum?.cable)
  if (!drum || !cable) throw new Error(`drum ${mounting.drum} of the plan is not in the works`)
  const marks = input.marks.filter((m) => m.drum === drum.drum)
  const faults = input.faults.filter((f) => f.drum === drum.drum)
  return { usable: usableDrum(drum, marks, faults, input.site.cutRules), cable }
}

function restText(usable: UsableDrum, intervals: Interval[]): string {
  const last = intervals.findLast((i) => i.use !== 'end')
  const { drum } = usable
  if (last?.use !== 'remnant' || last.putup !== null)
    return `Nothing that is worth keeping stays on ${drum.drum}: take off what is left as scrap${drum.kind === 'process_drum' ? ' and send the empty drum back' : ''}.`
  const mark = markText(usable, last.fromUm)
  return (
    `${lengthText(last.toUm - last.fromUm, 'm', 1)} stay on ${drum.drum}: cap the new outer end at once, write its mark on the card ` +
    `(expected: ${mark ?? 'no print'}), take the drum back to ${drum.location ?? 'its place'} and book it.`
  )
}
