import type { Command } from 'commander'
import { ledgerKeeping } from '../server/ledger-keeping.ts'
import { EXIT } from './exit-codes.ts'
import { reportText } from './ledger.ts'
import { printable } from './print.ts'

/** `backup`: one moment of the database as a file, while the server runs. */
export function addBackup(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('backup')
    .description('write one moment of the database into a file and verify it; the server may go on')
    .requiredOption('--to <file>', 'file to write; it must not be there yet')
    .option('--data <dir>', 'folder of the database')
    .addHelpText('after', exitCodes)
    .action(async ({ to, data }: { to: string; data?: string }) => {
      const report = await ledgerKeeping.backUp(data ?? null, to)
      process.stdout.write(`${printable(to)} is written.\n${reportText(report)}\n`)
      done(report.problems.length === 0 ? EXIT.ok : EXIT.problems)
    })
}
