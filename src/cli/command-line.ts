import { Command, CommanderError } from 'commander'
import { type ErrorCode, LastmetreError } from '../quantity/errors.ts'
import { productVersion } from '../server/project.ts'
import { InputRefused } from '../server/refusal.ts'
import { addBackup } from './backup.ts'
import { addBalance } from './balance.ts'
import { addCertificates } from './certificates.ts'
import { checkFolder } from './check.ts'
import { addCounter } from './counter.ts'
import { addDue } from './due.ts'
import { EXIT } from './exit-codes.ts'
import { addExplain } from './explain.ts'
import { addInspection } from './inspection.ts'
import { addJudge } from './judge.ts'
import { addLead } from './lead.ts'
import { addLedger } from './ledger.ts'
import { addLine } from './line.ts'
import { addLoss } from './loss.ts'
import { addOwner } from './owner.ts'
import { type PlanOptions, planFolder } from './plan.ts'
import { printable, printProblems } from './print.ts'
import { addPutup } from './putup.ts'
import { addRecall } from './recall.ts'
import { addRepair } from './repair.ts'
import { addRestore } from './restore.ts'
import { addRun } from './run.ts'
import { addServe } from './serve.ts'
import { addSets } from './sets.ts'
import { addSimulate } from './simulate.ts'
import { addTrace } from './trace.ts'
import { between, wholeNumber } from './typed.ts'
import { addWitnesses } from './witnesses.ts'
import { addWorker } from './worker.ts'

const EXIT_CODES = `
Exit codes:
  0  done; for plan: the plan is written, even with order lines unserved
  1  something failed that the works folder is not to blame for
  2  problems in the works folder, or the command was called wrongly
  3  plan was stopped by Ctrl-C; the best plan so far is written`

const EXAMPLES = `
Examples:
  lastmetre check demo/kelderwick
  lastmetre plan demo/kelderwick --out out/kelderwick
  lastmetre plan demo/kelderwick --out out/kelderwick --seconds 30 --seed 7 --json
  lastmetre putup demo/kelderwick --cable C081-50 --length 250m --market US
  lastmetre loss demo/kelderwick --cable C081-50 --length 30m --freq 144MHz --a N-C-081 --b N-C-081
  lastmetre line demo/kelderwick --plan out/kelderwick/plan.json --mounting 1
  lastmetre run demo/kelderwick
  lastmetre counter demo/kelderwick
  lastmetre witnesses demo/kelderwick --json
  lastmetre repair demo/kelderwick --plan out/plan.json --event event.json --out out/mended
  lastmetre explain demo/kelderwick --plan out/plan.json --order 7116 --line 1
  lastmetre judge demo/kelderwick demo/measured/KJ31-4001.s2p --lead KJ31-4001
  lastmetre lead demo/kelderwick --order 7119 --line 1
  lastmetre sets demo/kelderwick --cable C059-50 --window-deg 5 --freq 2400MHz
  lastmetre simulate demo/kelderwick --line RW-1 --speed-up 10
  lastmetre serve
  lastmetre ledger verify
  lastmetre trace 31-000123-7
  lastmetre recall --strip D012 --from 340 --to 352 --csv recall.csv
  lastmetre balance --month 2031-02
  lastmetre due
  lastmetre backup --to ledger-monday.sqlite
  lastmetre restore --from ledger-monday.sqlite --data restored
  lastmetre serve path/to/works --port 8080
  lastmetre owner add --badge K-01 --name "R. Holm"
  lastmetre certificates make --name hall.local --address 192.168.1.20 --out tls
  lastmetre serve --host 0.0.0.0 --tls tls --trust-page`

/** Every command but `check` and `plan`, in the order in which help lists them. */
const COMMANDS = [
  addPutup,
  addLine,
  addRun,
  addCounter,
  addWitnesses,
  addInspection,
  addLoss,
  addJudge,
  addLead,
  addSets,
  addSimulate,
  addOwner,
  addLedger,
  addBackup,
  addTrace,
  addRecall,
  addBalance,
  addDue,
  addRestore,
  addWorker,
  addRepair,
  addExplain,
  addServe,
  addCertificates,
]

/** Runs one command and answers the exit code. */
export async function runCommandLine(args: string[]): Promise<number> {
  let code: number = EXIT.ok
  const done = (ended: number) => {
    code = ended
  }
  const program = new Command('lastmetre')
    .description(
      'Plans the finishing end of a coaxial-cable works: which stretch of which drum becomes which piece.',
    )
    .version(productVersion())
    .showHelpAfterError('(add --help for what can be asked)')
    .addHelpText('after', `${EXAMPLES}\n${EXIT_CODES}`)
    .exitOverride()
  program
    .command('check')
    .description('check a works folder; every problem at once')
    .argument('<folder>', 'works folder')
    .addHelpText('after', EXIT_CODES)
    .action(async (folder: string) => {
      code = await checkFolder(folder)
    })
  program
    .command('plan')
    .description(
      'plan a works folder and write plan.json, plan.csv, run-sheets.pdf, labels.pdf, unserved.csv',
    )
    .argument('<folder>', 'works folder')
    .requiredOption('--out <dir>', 'folder to write to; made where it is missing')
    .option('--seconds <number>', 'time to plan, 0.5 to 3600', between(0.5, 3_600), 10)
    .option('--seed <number>', 'start of the random numbers: the same seed, the same search', wholeNumber, 1)
    .option(
      '--work <number>',
      'plan for so much work instead of time: the same seed and work, the same plan',
      wholeNumber,
    )
    .option('--json', 'print a summary for machines on standard output', false)
    .addHelpText('after', EXIT_CODES)
    .action(async (folder: string, options: PlanOptions) => {
      code = await planFolder(folder, options)
    })
  for (const add of COMMANDS) add(program, EXIT_CODES, done)
  try {
    if (args.length === 0) {
      program.outputHelp({ error: true })
      return EXIT.problems
    }
    await program.parseAsync(args, { from: 'user' })
    return code
  } catch (error) {
    return failureCode(error)
  }
}

/** What whoever called it can put right: exit code 2. */
const CALLERS_FAULT: ReadonlySet<ErrorCode> = new Set([
  'folder-missing',
  'out-refused',
  'event-refused',
  'text-not-printable',
  'unknown-id',
  'plan-file-refused',
  'figure-refused',
  'measurement-refused',
  'run-refused',
  'owner-missing',
  'tls-missing',
  'ledger-broken',
])

function failureCode(error: unknown): number {
  // Commander has printed its own message already; --help and --version end here with 0.
  if (error instanceof CommanderError) return error.exitCode === 0 ? EXIT.ok : EXIT.problems
  if (error instanceof InputRefused) {
    printProblems(error)
    return EXIT.problems
  }
  if (error instanceof LastmetreError) {
    process.stderr.write(`${sentence(error.message)} ${error.todo}\n`)
    return CALLERS_FAULT.has(error.code) ? EXIT.problems : EXIT.failed
  }
  process.stderr.write(`Failed: ${sentence(error instanceof Error ? error.message : String(error))}\n`)
  return EXIT.failed
}

function sentence(message: string): string {
  return printable(/[.!?]$/.test(message) ? message : `${message}.`)
}
