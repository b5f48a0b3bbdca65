import type { Command } from 'commander'
import { dueWords } from '../ledger/due-words.ts'
import { recordDesk } from '../server/record-desk.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

/** `due`: one calendar of everything that must be checked. */
export function addDue(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('due')
    .description('what must be checked or calibrated, what is overdue first')
    .option('--data <dir>', 'folder of the database')
    .option('--json', 'print the calendar for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async ({ data, json }: { data?: string; json: boolean }) => {
      const answer = await recordDesk.due(data ?? null)
      const lines = answer.items.map(
        (item) => `${item.what} ${item.subject}, ${item.task}: ${dueWords(item)} (${item.source})`,
      )
      const text = lines.length === 0 ? ['Nothing is known that must be checked.'] : lines
      process.stdout.write(`${json ? JSON.stringify(answer) : text.map(printable).join('\n')}\n`)
      done(EXIT.ok)
    })
}
