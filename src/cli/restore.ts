import type { Command } from 'commander'
import { ledgerKeeping } from '../server/ledger-keeping.ts'
import { EXIT } from './exit-codes.ts'
import { reportText } from './ledger.ts'
import { printable } from './print.ts'

/** `restore`: a backup becomes the database of an empty data folder. */
export function addRestore(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('restore')
    .description('verify a backup and put it into an empty data folder; nothing is written over')
    .requiredOption('--from <file>', 'backup to take')
    .requiredOption(
      '--data <dir>',
      'folder without a database; where DATABASE_URL is set, that database is filled',
    )
    .addHelpText('after', exitCodes)
    .action(async ({ from, data }: { from: string; data: string }) => {
      const report = await ledgerKeeping.restore(from, data)
      process.stdout.write(`${printable(from)} is restored.\n${reportText(report)}\n`)
      done(EXIT.ok)
    })
}
