import { type Command, InvalidArgumentError } from 'commander'
import { type LeadBatch, leadBatches } from '../lead/batch.ts'
import type { JobLimit } from '../lead/job-limits.ts'
import { type JobSheet, jobSheet } from '../lead/job-sheet.ts'
import { meanFailure } from '../lead/job-start.ts'
import type { KitNeed } from '../lead/kit.ts'
import type { StripDimensions } from '../lead/strip-dimensions.ts'
import type { ToolNeed } from '../lead/tool-list.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { mFromUm } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreBench } from '../server/read-more-records.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { readMountings } from '../works/read-mountings.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'

interface LeadOptions {
  order: string
  line: number
  plan?: string
  json: boolean
}

export function addLead(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('lead')
    .description(
      'what the bench needs for one line of leads: cut length, strip dimensions, kit, tools, limits, steps, times',
    )
    .argument('<folder>', 'works folder')
    .requiredOption('--order <id>', 'order, as in orders.csv')
    .requiredOption('--line <number>', 'its line', lineNumber)
    .option(
      '--plan <file>',
      'the plan.json that was written for this works folder: where the cable comes from',
    )
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', help)
    .action(async (folder: string, options: LeadOptions) => {
      done(await leadOf(folder, options))
    })
}

function lineNumber(text: string): number {
  if (!/^[1-9]\d{0,5}$/.test(text)) throw new InvalidArgumentError('Give the number of a line, from 1.')
  return Number(text)
}

async function leadOf(folder: string, options: LeadOptions): Promise<number> {
  const content = await readWorksFolder(folder)
  const { works } = loadWorks(content)
  const { more } = await readMoreBench(content.path, content.name, works)
  const line = works.orders.find((o) => o.order === options.order && o.line === options.line)
  if (!line)
    throw new LastmetreError(
      'unknown-id',
      `There is no order line ${options.order}/${options.line} in orders.csv.`,
    )
  const sheet = jobSheet(works, more, line)
  let batches: LeadBatch[] | null = null
  if (options.plan !== undefined) {
    const plan = await namedFile(options.plan, 'plan-file-refused')
    const isThis = (order: string, number: number) => order === line.order && number === line.line
    batches = leadBatches(readMountings(new TextDecoder().decode(plan), works), isThis)
  }
  process.stdout.write(options.json ? `${JSON.stringify(asJson(sheet, batches))}\n` : asText(sheet, batches))
  return EXIT.ok
}

const rounded = (value: number, decimals = 3) => Math.round(value * 10 ** decimals) / 10 ** decimals

function asJson(sheet: JobSheet, batches: LeadBatch[] | null): object {
  const { line, cut, start, limits } = sheet
  const strip = ({ part, jacketMm, braidMm, dielectricMm, plusMinusMm }: StripDimensions) => ({
    ...{ part, jacket: jacketMm, braid: braidMm, dielectric: dielectricMm, plusMinus: plusMinusMm },
  })
  const { allowance, tolerance } = cut
  return {
    order: line.order,
    line: line.line,
    qty: line.qty,
    cable: line.cable,
    cutLengthMm: rounded(cut.cutLengthMm),
    stopMm: rounded(cut.stopMm),
    sheetCutMm: rounded(cut.sheetCutMm),
    lengthDefinition: cut.definition,
    toleranceMm: { minus: tolerance.minusMm, plus: tolerance.plusMm, source: tolerance.source },
    allowanceMm: {
      ...{
        used: rounded(allowance.allowanceMm),
        sheet: rounded(allowance.sheetMm),
        measured: allowance.measuredMm,
      },
      ...{ leads: allowance.measured, standardUncertainty: rounded(allowance.standardUncertaintyMm) },
      ...{ spread: rounded(allowance.spreadMm), drift: allowance.drift, says: allowance.says },
    },
    stripMm: { a: strip(sheet.stripA), b: strip(sheet.stripB) },
    kit: sheet.kit,
    tools: sheet.tools,
    limits,
    steps: sheet.steps.map((step) => ({
      ...step,
      ...{ minutesEach: rounded(step.minutesEach), minutes: rounded(step.minutes) },
    })),
    minutes: rounded(sheet.minutes),
    start: start.start,
    startProbability: rounded(start.probability, 4),
    failureRate: { mean: rounded(meanFailure(start.rate), 4), ...start.rate },
    ifOneFails: sheet.ifOneFails,
    batches,
  }
}

function asText(sheet: JobSheet, batches: LeadBatch[] | null): string {
  const { line, cut, start, a, b, limits } = sheet
  const lines = [
    `${line.order}/${line.line}: ${line.qty} leads of ${line.cable}, ${line.lengthTyped} ${line.unit} ${cut.definition.replaceAll('_', ' ')}, ${a.part} and ${b.part}, due ${line.dueDate}`,
    `start ${start.start}: ${(100 * start.probability).toFixed(1)} % that ${line.qty} are good; ${start.rate.from}`,
    `cut length ${cut.cutLengthMm.toFixed(1)} mm; ${cut.says}`,
    `  tolerance -${figureText(cut.tolerance.minusMm, 1)}/+${figureText(cut.tolerance.plusMm, 1)} mm (${cut.tolerance.source}); connectors add ${cut.allowance.allowanceMm.toFixed(2)} mm: ${cut.allowance.says}`,
    ...[
      ['A', sheet.stripA],
      ['B', sheet.stripB],
    ].map((end) => stripText(...(end as [string, StripDimensions]))),
    ...sheet.kit.map(kitText),
    ...sheet.tools.map(toolText),
    ...batchTexts(sheet, batches),
    ...limits.list.map(limitText),
    `limits: ${limits.rule}`,
    ...limits.notes.map((note) => `note: ${note}`),
    ...sheet.steps.flatMap((step) => [
      `step ${step.step} ${step.name} (${step.bench ?? 'no bench of the works can do this'}, ${figureText(step.minutes, 1)} min): ${step.what}`,
      ...step.dangers.map((danger) => `  danger: ${danger}`),
    ]),
    `${figureText(sheet.minutes, 0)} minutes in all; if one fails: ${sheet.ifOneFails.says}`,
    "The works' own rules, local codes and licensed practice come first. A figure here is not permission to run.",
  ]
  return `${lines.map(printable).join('\n')}\n`
}

function stripText(end: string, strip: StripDimensions): string {
  return `strip ${end} (${strip.part}): jacket ${strip.jacketMm}, braid ${strip.braidMm}, dielectric ${strip.dielectricMm} mm from the cut face, ±${strip.plusMinusMm} mm`
}

function kitText({ part, what, needed, inStock, earlierLines, short, take }: KitNeed): string {
  if (inStock === null || short === null)
    return `kit ${needed} × ${part} (${what}); stock not recorded (more/kit_stock.csv)`
  const from = take.map(({ lot, pieces }) => `${pieces} of ${lot}`).join(', ')
  return `kit ${needed} × ${part} (${what}); ${inStock} in stock, ${earlierLines} for earlier lines${short > 0 ? `; SHORT BY ${short}` : ''}${from === '' ? '' : `; take ${from}`}`
}

function toolText({ kind, what, settingNm, tools, trouble }: ToolNeed): string {
  const set = settingNm === null ? '' : `, set ${figureText(settingNm, 2)} N m`
  const found = (tools ?? [])
    .map(
      ({ tool, calibrationDueDate }) =>
        `${tool}${calibrationDueDate === null ? '' : ` due ${calibrationDueDate}`}`,
    )
    .join(', ')
  return `tool ${kind.replaceAll('_', ' ')}: ${what}${set}${found === '' ? '' : `; ${found}`}${trouble === null ? '' : `; TROUBLE: ${trouble}`}`
}

function batchTexts({ line, start }: JobSheet, batches: LeadBatch[] | null): string[] {
  if (batches === null) return []
  const planned = batches.reduce((sum, { pieces }) => sum + pieces, 0)
  return [
    ...batches.map(
      (batch) =>
        `cable for ${batch.pieces} from drum ${batch.drum} (mounting ${batch.mounting}, ${batch.cutBy}), ${figureText(mFromUm(batch.fromUm), 3)} to ${figureText(mFromUm(batch.toUm), 3)} m from the outer end`,
    ),
    `the plan cuts ${planned} of ${line.qty}${start.start > planned ? `; cable for ${start.start - planned} more is not in the plan` : ''}`,
  ]
}

function limitText({ name, atMhz, least, most, acceptLeast, acceptMost, unit }: JobLimit): string {
  const figure = (value: number) => figureText(value, 3)
  const range =
    least === null
      ? `at most ${figure(most ?? Number.NaN)}`
      : most === null
        ? `at least ${figure(least)}`
        : `${figure(least)} to ${figure(most)}`
  const accepted = acceptMost ?? acceptLeast
  return `limit ${name}${atMhz === null ? '' : ` at ${figure(atMhz)} MHz`}: ${range} ${unit}${accepted === null ? '' : `; accepted ${acceptMost === null ? 'from' : 'up to'} ${figure(accepted)}`}`
}
