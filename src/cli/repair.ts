import { join, resolve } from 'node:path'
import type { Command } from 'commander'
import { toldBoundEur } from '../plan/plan.ts'
import type { Repair } from '../plan/repair.ts'
import type { CutPlace, PlanChange } from '../plan/repair-changes.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { lengthText } from '../quantity/length-text.ts'
import { eurFromMicro } from '../quantity/money.ts'
import { loadWorks } from '../server/load-works.ts'
import { planPack, printedNow } from '../server/plan-papers.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { repaired } from '../solver/replan.ts'
import { filesAfter, readEventFile } from '../works/event-file.ts'
import { readPlanFile } from '../works/plan-read.ts'
import { EXIT } from './exit-codes.ts'
import { costBound, euro, makeFolder, numberOf, writeWhole } from './plan.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'
import { between, wholeNumber } from './typed.ts'

interface RepairOptions {
  plan: string
  event: string
  out: string
  seconds: number
  seed: number
  json: boolean
}

export function addRepair(program: Command, exitCodes: string, ended: (code: number) => void): void {
  program
    .command('repair')
    .description(
      'mend a plan after an event: a fault found, an order line added or cancelled, a drum held, cuts made',
    )
    .argument('<folder>', 'works folder as it was when the plan was made')
    .requiredOption('--plan <file>', 'plan.json of the old plan')
    .requiredOption('--event <file>', 'what happened since, as JSON')
    .requiredOption('--out <dir>', 'folder to write to; made where it is missing')
    .option('--seconds <number>', 'most time to take, 0.5 to 3600', between(0.5, 3_600), 10)
    .option('--seed <number>', 'start of the random numbers: the same seed, the same search', wholeNumber, 1)
    .option('--json', 'print a summary for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async (folder: string, options: RepairOptions) => ended(await repairFolder(folder, options)))
}

async function repairFolder(folder: string, options: RepairOptions): Promise<number> {
  const content = await readWorksFolder(folder)
  const before = loadWorks(content).works
  const plan = readPlanFile(await namedFile(options.plan), before)
  const event = readEventFile(await namedFile(options.event))
  const files = filesAfter(content.files, event.happened)
  const input = loadWorks({ ...content, files }).works
  const out = resolve(options.out)
  if (out === content.path)
    throw new LastmetreError('out-refused', 'A plan is not written into its works folder.')
  await makeFolder(out)
  const madeAt = printedNow(input)
  const startMs = performance.now()
  const { seed, seconds } = options
  const repair = await repaired({ kind: 'repair', input, before, plan, seed, seconds, made: event.made })
  const elapsedMs = performance.now() - startMs
  const meta = { planNumber: numberOf(repair.plan), madeAt }
  const pack = await planPack({ input, plan: repair.plan, meta })
  for (const [name, bytes] of pack) await writeWhole(join(out, name), bytes)
  const changes = `${JSON.stringify(changesFile(repair), null, 2)}\n`
  await writeWhole(join(out, 'changes.json'), new TextEncoder().encode(changes))
  await makeFolder(join(out, content.name))
  for (const [name, bytes] of files) await writeWhole(join(out, content.name, name), bytes)
  report(repair, elapsedMs, meta.planNumber, options.json)
  return EXIT.ok
}

function changesFile({ changes, lost, heldBegun }: Repair): object {
  const place = ({ drum, line, fromUm, toUm }: CutPlace) => ({
    drum,
    line,
    fromM: fromUm / 1e6,
    toM: toUm / 1e6,
  })
  return {
    format: 'lastmetre-changes',
    version: 1,
    changes: changes.map((c) => ({
      ...c,
      ...('from' in c ? { from: place(c.from), to: place(c.to) } : {}),
      ...('at' in c ? { at: place(c.at) } : {}),
    })),
    lost: lost.map(({ drum, piece, cause }) => ({
      drum,
      order: piece.order,
      orderLine: piece.orderLine,
      piece: piece.piece,
      count: piece.count,
      fromM: piece.fromUm / 1e6,
      toM: piece.toUm / 1e6,
      cause,
    })),
    heldButCut: heldBegun,
  }
}

function report(repair: Repair, elapsedMs: number, planNumber: string, json: boolean): void {
  const { plan, changes, lost, heldBegun } = repair
  if (json) {
    const summary = {
      planNumber,
      works: plan.works,
      seed: plan.seed,
      work: plan.work,
      elapsedMs: Math.round(elapsedMs),
      unservedEur: eurFromMicro(plan.unservedMicro),
      costEur: eurFromMicro(plan.costMicro),
      boundUnservedEur: eurFromMicro(plan.bound.unservedMicro),
      boundCostEur: toldBoundEur(plan),
      ...changesFile(repair),
    }
    process.stdout.write(`${JSON.stringify(summary)}\n`)
    return
  }
  const lines = [
    ...lost.map(
      (l) => `lost: ${l.piece.order}/${l.piece.orderLine} piece ${l.piece.piece} on ${l.drum} — ${l.cause}`,
    ),
    ...heldBegun.map((d) => `held: ${d} was cut before; those cuts stand and nothing more is cut from it`),
    ...changes.map(changeText),
    ...plan.unserved.map((u) => `not served: ${u.order}/${u.orderLine}, ${u.pieces} — ${u.reason}`),
    `Plan ${planNumber}: ${changes.length} changes in ${(elapsedMs / 1000).toFixed(2)} s, cost ${euro(plan.costMicro)} (${costBound(plan)}), ` +
      `not served ${euro(plan.unservedMicro)} (no plan leaves less than ${euro(plan.bound.unservedMicro)}).`,
  ]
  process.stdout.write(`${lines.map(printable).join('\n')}\n`)
}

function changeText(change: PlanChange): string {
  if ('from' in change)
    return `${change.kind}: ${change.order}/${change.orderLine}${times(change.count)} from ${placeText(change.from)} to ${placeText(change.to)}`
  if ('order' in change)
    return `${change.kind}: ${change.order}/${change.orderLine}${times(change.count)} at ${placeText(change.at)}`
  if ('at' in change) return `${change.kind}: ${placeText(change.at)}`
  return `${change.kind}: ${change.drum} on ${change.line}`
}

function times(count: number): string {
  return count === 1 ? '' : ` × ${count}`
}

function placeText({ drum, line, fromUm, toUm }: CutPlace): string {
  return `${drum} on ${line}, ${lengthText(fromUm, 'm', 2)} to ${lengthText(toUm, 'm', 2)}`
}
