import { createHash, randomBytes } from 'node:crypto'
import { mkdir, rename, rm, writeFile } from 'node:fs/promises'
import { join, resolve } from 'node:path'
import { planWarnings } from '../dispatch/plan-warnings.ts'
import { type Plan, tellsOfCost, toldBoundEur } from '../plan/plan.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { eurFromMicro, type MicroEur } from '../quantity/money.ts'
import { planPack, printedNow } from '../server/plan-papers.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { type PlanningJob, type PlanningProgress, startPlanning } from '../solver/start-planning.ts'
import type { Works } from '../works/works.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { recordedWorks } from './recorded-works.ts'

export interface PlanOptions {
  out: string
  seconds: number
  /** Ends planning after so much work instead; undefined goes by time. */
  work?: number
  seed: number
  json: boolean
}

/** Plans a folder and writes what comes of it. */
export async function planFolder(folder: string, options: PlanOptions): Promise<number> {
  // Every further Ctrl-C is passed over: npm passes it on to a process that the terminal has told already, and
  // the planner is ended within its grace in any case.
  const asked: { job: PlanningJob | null; interrupted: boolean } = { job: null, interrupted: false }
  const stop = () => {
    asked.interrupted = true
    asked.job?.stop()
  }
  process.on('SIGINT', stop)
  process.on('SIGTERM', stop)
  try {
    const { works, out } = await prepared(folder, options)
    if (asked.interrupted) throw new LastmetreError('stopped-early', 'Planning was stopped before it began.')
    const { seconds, seed, work = null } = options
    const madeAt = printedNow(works)
    const line = progressLine()
    asked.job = startPlanning(works, { seconds, work, seed, onProgress: line.show })
    const plan = await asked.job.result.finally(line.end)
    const meta = { planNumber: numberOf(plan), madeAt }
    process.stderr.write('Run sheets and labels are being written ...\n')
    const pack = await planPack({ input: works, plan, meta })
    for (const [name, bytes] of pack) await writeWhole(join(out, name), bytes)
    report(plan, planWarnings(works, plan), meta.planNumber, [...pack.keys()], options.json)
    return asked.interrupted ? EXIT.stopped : EXIT.ok
  } finally {
    process.off('SIGINT', stop)
    process.off('SIGTERM', stop)
  }
}

/** The checked works and the folder to write to, before any planning. */
async function prepared(folder: string, options: PlanOptions): Promise<{ works: Works; out: string }> {
  const content = await readWorksFolder(folder)
  const works = await recordedWorks(content)
  const out = resolve(options.out)
  if (out === content.path)
    throw new LastmetreError('out-refused', 'A plan is not written into its works folder.')
  await makeFolder(out)
  return { works, out }
}

/** Outside a store nobody counts plans, so a plan is named by its content. */
export function numberOf(plan: Plan): string {
  return `C${createHash('sha256').update(JSON.stringify(plan)).digest('hex').slice(0, 8).toUpperCase()}`
}

export async function makeFolder(folder: string): Promise<void> {
  try {
    await mkdir(folder, { recursive: true })
  } catch (error) {
    throw new LastmetreError('out-refused', `${folder} cannot be made: ${(error as Error).message}.`)
  }
}

/** The old file or the new one, never half of it. */
export async function writeWhole(path: string, bytes: Uint8Array): Promise<void> {
  const half = `${path}.${randomBytes(4).toString('hex')}.tmp`
  try {
    await writeFile(half, bytes, { flag: 'wx', flush: true })
    await rename(half, path)
  } catch (error) {
    await rm(half, { force: true })
    throw error
  }
}

function progressLine(): { show(progress: PlanningProgress): void; end(): void } {
  const onTerminal = process.stderr.isTTY === true
  let lastText = ''
  return {
    show(progress) {
      const { phase, elapsedMs, unservedMicro, costMicro, boundCostMicro } = progress
      const best =
        costMicro === null || unservedMicro === null
          ? 'no plan yet'
          : `not served ${euro(unservedMicro)}, cost ${euro(costMicro)}`
      const bound = boundCostMicro === null ? '' : `, bound ${euro(boundCostMicro)}`
      const text = `${phase}: ${best}${bound}`
      if (onTerminal) process.stderr.write(`\r\u001b[2K${(elapsedMs / 1_000).toFixed(1)} s  ${text}`)
      // In a log a line is written only where something changed.
      else if (text !== lastText) process.stderr.write(`${(elapsedMs / 1_000).toFixed(1)} s  ${text}\n`)
      lastText = text
    },
    end() {
      if (onTerminal) process.stderr.write('\n')
    },
  }
}

export function euro(micro: MicroEur): string {
  return `${eurFromMicro(micro).toFixed(2)} EUR`
}

/** Stopped early, a plan may have no bound on its cost yet. */
export function costBound(plan: Plan): string {
  return tellsOfCost(plan)
    ? `no plan of this service can cost less than ${euro(plan.bound.costMicro)}`
    : 'how much less another could cost is not proven yet'
}

function report(plan: Plan, warnings: string[], planNumber: string, files: string[], json: boolean): void {
  if (json) {
    const summary = {
      planNumber,
      works: plan.works,
      seed: plan.seed,
      work: plan.work,
      stopped: plan.stopped,
      mountings: plan.mountings.length,
      unservedLines: plan.unserved.length,
      unservedEur: eurFromMicro(plan.unservedMicro),
      costEur: eurFromMicro(plan.costMicro),
      boundUnservedEur: eurFromMicro(plan.bound.unservedMicro),
      boundCostEur: toldBoundEur(plan),
      warnings,
      files,
    }
    process.stdout.write(`${JSON.stringify(summary)}\n`)
    return
  }
  const lines = plan.unserved.map(
    (u) =>
      `not served: ${u.order}/${u.orderLine}, ${u.pieces} ${u.pieces === 1 ? 'piece' : 'pieces'} — ${u.reason}`,
  )
  lines.push(...warnings.map((text) => `warning: ${text}`))
  lines.push(
    `Plan ${planNumber}: ${plan.mountings.length} mountings, cost ${euro(plan.costMicro)} (${costBound(plan)}), ` +
      `not served ${euro(plan.unservedMicro)} (no plan leaves less than ${euro(plan.bound.unservedMicro)}).`,
    `Written: ${files.join(', ')}.`,
  )
  process.stdout.write(`${lines.map(printable).join('\n')}\n`)
}
