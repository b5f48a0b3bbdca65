import { type Command, InvalidArgumentError } from 'commander'
import type { Balance } from '../ledger/balance.ts'
import { chanceText } from '../ledger/trace-words.ts'
import { figureText } from '../quantity/length-text.ts'
import { recordDesk } from '../server/record-desk.ts'
import type { BalanceAnswer } from '../works/records-api.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

interface BalanceOptions {
  month?: string
  from?: string
  to?: string
  data?: string
  json: boolean
}

/** `balance`: metres in and out of each cable type. */
export function addBalance(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('balance')
    .description('metres in and out of each cable type, and what nobody booked, against its own uncertainty')
    .option(
      '--month <month>',
      'YYYY-MM; without it the month that it is',
      matching(/^\d{4}-(0[1-9]|1[0-2])$/),
    )
    .option('--from <date>', 'first day, YYYY-MM-DD', matching(/^\d{4}-\d{2}-\d{2}$/))
    .option('--to <date>', 'last day', matching(/^\d{4}-\d{2}-\d{2}$/))
    .option('--data <dir>', 'folder of the database')
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async ({ data, json, ...asked }: BalanceOptions) => {
      const answer = await recordDesk.balance(data ?? null, asked)
      process.stdout.write(`${json ? JSON.stringify(answer) : text(answer).map(printable).join('\n')}\n`)
      done(EXIT.ok)
    })
}

function text({ from, to, balances, books, unexplained }: BalanceAnswer): string[] {
  const m = (value: number) => figureText(value, 1)
  return [
    `${from} to ${to}: ${unexplained.says}`,
    ...balances.flatMap(balanceText),
    ...books.map(
      (b) =>
        `${b.cable}, books of before: opening ${m(b.openingM)} + received ${m(b.receivedM)} - shipped ${m(b.shippedM)} - scrap ${m(b.scrapM)} - samples ${m(b.samplesM)} - counted ${m(b.closingCountedM)} = unexplained ${m(b.unexplainedM)} m, expected 0 ± ${m(b.unexplainedUncM)} m (u)`,
    ),
    ...(balances.length + books.length === 0 ? ['Nothing was booked in that time.'] : []),
  ]
}

function balanceText(b: Balance): string[] {
  const m = (um: number) => figureText(um / 1e6, 3)
  const scrap = b.scrap.map((s) => `${s.cause} ${m(s.um)}`).join(', ')
  const judged =
    b.chance === null
      ? ''
      : `, expected 0 ± ${m(Math.round(b.unexplainedUncUm))} (u); chance alone makes as much in ${chanceText(b.chance)} of cases`
  return [
    `${b.cable}, m: opening ${m(b.openingUm)} + received ${m(b.receivedUm)} + returned ${m(b.returnedUm)}`,
    `  = shipped ${m(b.shippedUm)} + scrap (${scrap || 'none'}) + samples ${m(b.samplesUm)} + trims ${m(b.trimsUm)} + over-length ${m(b.overLengthUm)} + closing ${m(b.closingUm)} + unexplained ${m(b.unexplainedUm)}${judged}`,
  ]
}

function matching(pattern: RegExp): (typed: string) => string {
  return (typed) => {
    if (!pattern.test(typed)) throw new InvalidArgumentError('Write it as shown.')
    return typed
  }
}
