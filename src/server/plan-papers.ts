import { zipSync } from 'fflate'
import type { PaperMeta } from '../dispatch/paper-meta.ts'
import { labelsPdf } from '../documents/labels.ts'
import { runSheetsPdf } from '../documents/run-sheets.ts'
import { worksDays } from '../ledger/works-day.ts'
import type { Plan } from '../plan/plan.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import { planCsv, planFile, unservedCsv } from '../works/plan-file.ts'

/** What one plan is handed out as. */
const PLAN_FILES = ['plan.json', 'plan.csv', 'run-sheets.pdf', 'labels.pdf', 'unserved.csv'] as const

export type PlanFileName = (typeof PLAN_FILES)[number]

export interface PlanAndInput {
  input: PlanInput
  plan: Plan
  meta: PaperMeta
  /** The one mounting that the run sheet is wanted of; without it all. */
  mounting?: number
}

export function isPlanFileName(name: string): name is PlanFileName {
  return (PLAN_FILES as readonly string[]).includes(name)
}

export async function planFileBytes(
  name: PlanFileName,
  { input, plan, meta, mounting }: PlanAndInput,
): Promise<Uint8Array> {
  const text = new TextEncoder()
  switch (name) {
    case 'plan.json':
      return text.encode(`${JSON.stringify(planFile(plan, input), null, 2)}\n`)
    case 'plan.csv':
      return text.encode(planCsv(plan, input))
    case 'unserved.csv':
      return text.encode(unservedCsv(plan, input))
    case 'run-sheets.pdf':
      return runSheetsPdf(input, plan, meta, mounting ?? null)
    case 'labels.pdf':
      return labelsPdf(input, plan, meta)
  }
}

/** All of them, in the order in which they are worked on. */
export async function planPack(source: PlanAndInput): Promise<Map<PlanFileName, Uint8Array>> {
  const pack = new Map<PlanFileName, Uint8Array>()
  for (const name of PLAN_FILES) pack.set(name, await planFileBytes(name, source))
  return pack
}

export async function planPackZip(source: PlanAndInput): Promise<Uint8Array> {
  return zipSync(Object.fromEntries(await planPack(source)))
}

/** `2031-03-03 07:30 UTC`: an instant of the clock by the works' day (works-day.ts); the zone stays said. */
export function printedTime(iso: string, plannedDate: string): string {
  return `${worksDays(plannedDate, iso).today} ${iso.slice(11, 16)} UTC`
}

/** When something of a works is printed: now. */
export function printedNow({ site }: Pick<PlanInput, 'site'>): string {
  return printedTime(new Date().toISOString(), site.works.todayDate)
}
