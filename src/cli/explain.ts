import type { Command } from 'commander'
import type { Explanation } from '../plan/explain.ts'
import { eurFromMicro } from '../quantity/money.ts'
import { loadWorks } from '../server/load-works.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { explained } from '../solver/replan.ts'
import { readPlanFile } from '../works/plan-read.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'
import { namedFile } from './read-file.ts'
import { between, wholeNumber } from './typed.ts'

interface ExplainOptions {
  plan: string
  order: string
  line: number
  seconds: number
  seed: number
  json: boolean
}

export function addExplain(program: Command, exitCodes: string, ended: (code: number) => void): void {
  program
    .command('explain')
    .description('why an order line is served as it is or not served, and what a change would bring')
    .argument('<folder>', 'works folder')
    .requiredOption('--plan <file>', 'plan.json')
    .requiredOption('--order <number>', 'order')
    .requiredOption('--line <number>', 'order line', wholeNumber)
    .option('--seconds <number>', 'time for each plan that is made to answer', between(0.1, 600), 1)
    .option('--seed <number>', 'start of the random numbers', wholeNumber, 1)
    .option('--json', 'print the answers for machines', false)
    .addHelpText('after', exitCodes)
    .action(async (folder: string, options: ExplainOptions) => ended(await explainFolder(folder, options)))
}

async function explainFolder(folder: string, options: ExplainOptions): Promise<number> {
  const input = loadWorks(await readWorksFolder(folder)).works
  const plan = readPlanFile(await namedFile(options.plan), input)
  const { order, line: orderLine, seed, seconds } = options
  const explanation = await explained({
    kind: 'explain',
    input,
    before: input,
    plan,
    seed,
    seconds,
    order,
    orderLine,
  })
  process.stdout.write(options.json ? `${JSON.stringify(inEuro(explanation))}\n` : textOf(explanation))
  return EXIT.ok
}

/** The same with every figure in euro. */
function inEuro(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(inEuro)
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(
    Object.entries(value).map(([name, x]: [string, unknown]) => {
      if (!name.endsWith('Micro')) return [name, inEuro(x)]
      return [name.replace(/Micro$/, 'Eur'), typeof x === 'number' ? eurFromMicro(x) : eachInEuro(x)]
    }),
  )
}

/** A range of two figures, or none. */
function eachInEuro(range: unknown): unknown {
  if (range === null || typeof range !== 'object') return range
  return Object.fromEntries(
    Object.entries(range).map(([end, micro]: [string, unknown]) => [end, eurFromMicro(Number(micro))]),
  )
}

function textOf({ order, orderLine, cuts, unserved, answers }: Explanation): string {
  const where =
    cuts.length === 0
      ? 'not cut'
      : `cut from ${cuts.map((c) => `${c.drum} (${c.pieces}) on ${c.line}`).join(', ')}`
  const lines = [
    `Order ${order}/${orderLine}: ${where}.`,
    ...(unserved ? [`Not served: ${unserved.pieces}. ${unserved.reason}`] : []),
    ...answers.map((a) => `- ${a.text}`),
  ]
  return `${lines.map(printable).join('\n')}\n`
}
