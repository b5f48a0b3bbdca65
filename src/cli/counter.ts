import type { Command } from 'commander'
import { counterReport } from '../measure/counter-report.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreRecords } from '../server/read-more-records.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { counterQuestions } from '../works/length-questions.ts'
import { counterFigures, toMicro } from './counter-figures.ts'
import { counterText } from './counter-text.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

export function addCounter(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('counter')
    .description(
      'what the tape checks say of each line’s length counter: error, drift, correction, guard, what is suspect',
    )
    .argument('<folder>', 'works folder')
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async (folder: string, options: { json: boolean }) => {
      done(await counterFolder(folder, options))
    })
}

/** The watch of every counter of a works. */
async function counterFolder(folder: string, { json }: { json: boolean }): Promise<number> {
  const content = await readWorksFolder(folder)
  const { works } = loadWorks(content)
  const { more } = await readMoreRecords(content.path, content.name, works)
  const reports = counterQuestions(works, more).map((question) => ({
    report: counterReport(question),
    around: {
      claimedPct: question.claimedErrorRatio * 100,
      guardInForcePct: question.guardInForceRatio * 100,
      markets: works.markets,
    },
  }))
  const text = json
    ? JSON.stringify(
        reports.map(({ report, around }) => counterFigures(report, around)),
        toMicro,
      )
    : reports
        .flatMap(({ report, around }) => counterText(report, around))
        .map(printable)
        .join('\n')
  process.stdout.write(`${text}\n`)
  return EXIT.ok
}
