import { writeFile } from 'node:fs/promises'
import { type Command, InvalidArgumentError } from 'commander'
import type { Recall } from '../ledger/recall.ts'
import { lengthText } from '../quantity/length-text.ts'
import { recordDesk } from '../server/record-desk.ts'
import { recallCsv } from '../works/recall-csv.ts'
import type { RecallQuery } from '../works/records-api.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

interface RecallOptions extends RecallQuery {
  marks?: boolean
  data?: string
  csv?: string
  json: boolean
}

/** `recall`: every piece that something bad touches, where it is, and what to do. */
export function addRecall(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('recall')
    .description(
      'every piece that a bad stretch, lot, fault, failed check or tool touches, and where it is now',
    )
    .option('--strip <id>', 'strip; without --from and --to all of it')
    .option('--from <place>', 'metres on the strip, or a mark with --marks', aNumber)
    .option('--to <place>', 'the other end', aNumber)
    .option('--marks', '--from and --to are marks as printed')
    .option('--unc <metres>', 'how far either end may be off; of marks 0.3 where nothing is said', aNumber)
    .option('--lot <id>', 'process lot')
    .option('--fault <id>', 'fault, with the uncertainty of its place')
    .option('--check <id>', 'a check that failed: everything since the last good one')
    .option('--tool <id>', 'tool, instrument or line')
    .option('--since <date>', 'with --tool: only since this day, YYYY-MM-DD')
    .option('--data <dir>', 'folder of the database')
    .option('--csv <file>', 'write the list as a file, too')
    .option('--json', 'print the list for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async ({ data, csv, json, marks, ...asked }: RecallOptions) => {
      const query: RecallQuery = { ...asked, ...(marks ? { unit: 'mark' as const } : {}) }
      const { says, recall } = await recordDesk.recall(data ?? null, query)
      process.stdout.write(
        json
          ? `${JSON.stringify({ says, ...recall })}\n`
          : `${text(says, recall).map(printable).join('\n')}\n`,
      )
      if (csv !== undefined) await writeFile(csv, recallCsv(recall))
      done(EXIT.ok)
    })
}

function text(says: string, { because, pieces, stock }: Recall): string[] {
  return [
    says,
    ...because.map((why) => `because of ${why}`),
    ...pieces.map((p) => `${p.serial}  ${p.declaredText || 'bench length'}  ${p.whereText}: ${p.action}`),
    ...stock.map((s) => `${s.drum}  ${lengthText(s.lengthUm, 'm', 2)}: ${s.action}`),
  ]
}

function aNumber(typed: string): number {
  const value = Number(typed)
  if (typed.trim() === '' || !Number.isFinite(value)) throw new InvalidArgumentError('Give a number.')
  return value
}
