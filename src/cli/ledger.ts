import type { Command } from 'commander'
import { type LedgerReport, ledgerKeeping } from '../server/ledger-keeping.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

interface VerifyOptions {
  data?: string
  json: boolean
}

/** `ledger verify`: is what the tables say what really happened? */
export function addLedger(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('ledger')
    .description('the record of what really happened')
    .command('verify')
    .description(
      'rebuild the present state from the events alone and compare: gaps, hashes, every row, every metre of every strip; beside a running server, too',
    )
    .option('--data <dir>', 'folder of the database')
    .option('--json', 'print the report for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async ({ data, json }: VerifyOptions) => {
      const report = await ledgerKeeping.verify(data ?? null)
      process.stdout.write(`${json ? JSON.stringify(report) : reportText(report)}\n`)
      done(report.problems.length === 0 ? EXIT.ok : EXIT.problems)
    })
}

export function reportText({ events, hash, strips, pieces, problems, more }: LedgerReport): string {
  const held = `${events} events, ${strips} strips, ${pieces} pieces; last hash ${hash}`
  if (problems.length === 0) return `The ledger is whole: ${held}.`
  const rest = more > 0 ? [`... and ${more} more.`] : []
  return [`The ledger does not verify: ${held}.`, ...problems, ...rest].map(printable).join('\n')
}
