import { type Command, InvalidArgumentError } from 'commander'
import { lineSettings } from '../line/line-settings.ts'
import type { MountingSettings } from '../line/mounting-settings.ts'
import { INPUT_FACTS, type LineOverrides } from '../line/run-inputs.ts'
import { settingRows, settingWarnings } from '../line/setting-rows.ts'
import type { UntestedStretch } from '../line/spark-cover.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { mFromUm } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { readMountings } from '../works/read-mountings.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'
import { recordedWorks } from './recorded-works.ts'

interface LineOptions {
  plan: string
  mounting?: number
  set: LineOverrides
  json: boolean
}

export function addLine(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('line')
    .description('how the line is set for each mounting of a plan: every figure with its reason and source')
    .argument('<folder>', 'works folder')
    .requiredOption('--plan <file>', 'the plan.json that was written for this works folder')
    .option('--mounting <number>', 'only this mounting, numbered as on the run sheets', mountingNumber)
    .option(
      '--set <name=value>',
      'change an input to see what follows, such as speedMaxMPerMin=100; may be given several times',
      changed,
      {},
    )
    .option('--json', 'print the settings for machines on standard output', false)
    .addHelpText('after', `${inputsText()}\n${help}`)
    .action(async (folder: string, options: LineOptions) => {
      done(await linesOf(folder, options))
    })
}

async function linesOf(folder: string, options: LineOptions): Promise<number> {
  const works = await recordedWorks(await readWorksFolder(folder))
  const plan = await namedFile(options.plan, 'plan-file-refused')
  const mountings = readMountings(new TextDecoder().decode(plan), works)
  const { mounting: wanted } = options
  if (wanted !== undefined && wanted > mountings.length)
    throw new LastmetreError(
      'unknown-id',
      `There is no mounting ${wanted}: the plan has ${mountings.length}.`,
    )
  const all = lineSettings(works, mountings, options.set)
  const asked = wanted === undefined ? all : all.filter((s) => s.mounting === wanted)
  const bench = mountings.length - all.length
  if (wanted !== undefined && asked.length === 0)
    throw new LastmetreError(
      'unknown-id',
      `Mounting ${wanted} is cut at ${mountings[wanted - 1]!.line}, which is no rewinding line: there is nothing to set.`,
    )
  if (options.json) process.stdout.write(`${JSON.stringify(asked.map(forMachines), toNine)}\n`)
  else {
    process.stdout.write(`${asked.map(asText).join('\n')}\n`)
    if (wanted === undefined && bench > 0)
      process.stdout.write(
        `${bench} mountings are cut at a bench: nothing to set, and no spark tester: what they cut needs an earlier spark test on record.\n`,
      )
  }
  return EXIT.ok
}

function asText(s: MountingSettings): string {
  const rows = settingRows(s).flatMap(({ name, text, why }) => [
    `  ${name.padEnd(11)} ${text}`,
    `  ${' '.repeat(11)} because: ${why}`,
  ])
  const presets = s.presets.map(
    (p) =>
      `  cut ${String(p.cut).padStart(3)}  ${p.lengthM.toFixed(3).padStart(9)} m  slow at ${p.slowAtM.toFixed(3).padStart(9)}  stop at ${p.stopAtM.toFixed(3).padStart(9)}  ` +
      `${figureText(p.runS, 0).padStart(4)} s + ${figureText(p.handlingS, 0)} s  up to ${figureText(p.peakMPerMin, 0)} m/min`,
  )
  return [
    `Mounting ${s.mounting}: ${s.drum} (${s.cable}) on ${s.line}`,
    ...rows,
    ...presets,
    ...settingWarnings(s).map((w) => `  ! ${w}`),
    '',
  ]
    .map(printable)
    .join('\n')
}

function forMachines(s: MountingSettings): object {
  return { ...s, spark: { ...s.spark, untested: inMetres(s.spark.untested) } }
}

/** Places in metres, as in plan.json. */
function inMetres(untested: UntestedStretch[]) {
  return untested.map(({ fromUm, toUm, ...rest }) => ({
    fromM: mFromUm(fromUm),
    toM: mFromUm(toUm),
    ...rest,
  }))
}

/** Nine figures: finer than anything on a line is known, and no noise of binary fractions. */
function toNine(_key: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(9)) : value
}

function mountingNumber(text: string): number {
  if (!/^[1-9]\d{0,5}$/.test(text)) throw new InvalidArgumentError('Give the number of a mounting, from 1.')
  return Number(text)
}

function changed(text: string, before: LineOverrides): LineOverrides {
  const match = /^([A-Za-z0-9]+)=(.+)$/.exec(text)
  const [, name = '', typed = ''] = match ?? []
  if (!Object.hasOwn(INPUT_FACTS, name))
    throw new InvalidArgumentError('Give one of the inputs that --help lists, as name=value.')
  const value =
    { true: true, false: false, unknown: null }[typed] ?? (typed === 'unknown' ? null : Number(typed))
  return { ...before, [name]: value }
}

function inputsText(): string {
  const rows = Object.entries(INPUT_FACTS).map(
    ([name, { name: called, unit, source }]) =>
      `  ${name.padEnd(22)} ${called}${unit ? `, ${unit}` : ''} (${source})`,
  )
  return `\nInputs that --set can change ("unknown" takes one away):\n${rows.join('\n')}`
}
