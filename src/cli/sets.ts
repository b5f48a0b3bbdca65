import { type Command, InvalidArgumentError } from 'commander'
import { failureRate, meanFailure } from '../lead/job-start.ts'
import { failedTest } from '../lead/set-pool.ts'
import type { MatchBy } from '../lead/set-trim.ts'
import { differenceText } from '../lead/set-why.ts'
import { type LeadSets, leadSets } from '../lead/sets.ts'
import { LastmetreError } from '../quantity/errors.ts'
import { figureText } from '../quantity/length-text.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreBench } from '../server/read-more-records.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { EXIT } from './exit-codes.ts'
import { known } from './known.ts'
import { printable } from './print.ts'
import { frequencyOption, numberOption } from './typed.ts'

interface SetsOptions {
  cable: string
  windowDeg?: number
  freq?: number
  windowPs?: number
  windowDb?: number
  size: number
  json: boolean
}

export function addSets(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('sets')
    .description(
      'phase and delay sets out of the measured leads: the most there can be, what a trim would add, why not the rest',
    )
    .argument('<folder>', 'works folder')
    .requiredOption('--cable <id>', 'cable type, as in cables.csv')
    .option(
      '--window-deg <degrees>',
      'largest difference of phase between two leads of a set, with --freq; 5 where no window is given',
      numberOption('deg', 0.001, 360),
    )
    .option('--freq <frequency>', 'frequency of the phase; 2400MHz where nothing is said', frequencyOption)
    .option(
      '--window-ps <time>',
      'largest difference of delay instead, ps',
      numberOption('ps', 0.001, 1_000_000),
    )
    .option(
      '--window-db <loss>',
      'largest difference of insertion loss as well, dB',
      numberOption('dB', 0.001, 100),
    )
    .option('--size <leads>', 'leads in a set', setSize, 4)
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', help)
    .action(async (folder: string, options: SetsOptions) => {
      done(await setsOf(folder, options))
    })
}

function setSize(text: string): number {
  if (!/^\d{1,3}$/.test(text) || Number(text) < 2 || Number(text) > 200)
    throw new InvalidArgumentError('Give a whole number from 2 to 200.')
  return Number(text)
}

const DEFAULT_WINDOW_DEG = 5
const DEFAULT_FREQ_MHZ = 2_400

function matchOf({ windowDeg, windowPs, freq }: SetsOptions): { by: MatchBy; window: number } {
  if (windowPs === undefined)
    return {
      by: { unit: 'deg', fMhz: freq ?? DEFAULT_FREQ_MHZ },
      window: windowDeg ?? DEFAULT_WINDOW_DEG,
    }
  if (windowDeg !== undefined || freq !== undefined)
    throw new LastmetreError(
      'figure-refused',
      'Give a window of phase with its frequency, or of delay, not both.',
    )
  return { by: { unit: 'ps' }, window: windowPs }
}

async function setsOf(folder: string, options: SetsOptions): Promise<number> {
  const { by, window } = matchOf(options)
  const content = await readWorksFolder(folder)
  const { works } = loadWorks(content)
  const { more } = await readMoreBench(content.path, content.name, works)
  const cable = known(works.cables, (c) => c.cable, options.cable, 'cable', 'cables.csv')
  if (by.unit === 'deg' && by.fMhz > cable.fMaxMhz)
    throw new LastmetreError(
      'figure-refused',
      `No phase is given at ${by.fMhz} MHz: figures of ${cable.cable} end at ${cable.fMaxMhz} MHz.`,
    )
  const tests = works.leadTests.filter((test) => test.cable === cable.cable)
  const first = tests[0]
  const rate = first ? meanFailure(failureRate(tests, first, (test) => failedTest(works, test) !== null)) : 0
  const { size, windowDb } = options
  const answer = leadSets({
    ...works,
    ...{ cable, tests, open: more.openLeads, by, window, size },
    windowDb: windowDb ?? null,
    firstPassRatio: 1 - rate,
  })
  if (options.json) process.stdout.write(`${JSON.stringify(asJson(answer, by))}\n`)
  else process.stdout.write(asText(answer, by, cable.cable, window, size))
  return EXIT.ok
}

function asJson(answer: LeadSets, by: MatchBy): object {
  const spread = by.unit === 'ps' ? 'spreadPs' : 'spreadDeg'
  return {
    sets: answer.sets.map(({ serials }) => serials),
    provenMost: answer.provenMost,
    provenBest: answer.provenBest,
    rescued: answer.rescued.map((r) => ({
      ...r,
      trimMm: rounded(r.trimMm),
      chancePct: rounded(r.chancePct),
    })),
    rescuedSets: answer.rescuedSets,
    unused: answer.unused,
    setFigures: answer.sets.map(({ serials: _, spread: width, lossSpreadDb, ...set }) => ({
      ...set,
      [spread]: rounded(width),
      lossSpreadDb: rounded(lossSpreadDb),
    })),
    [by.unit === 'ps' ? 'mmPerPs' : 'mmPerDeg']: answer.mmPerUnit,
    notes: answer.notes,
  }
}

const rounded = (value: number) => Math.round(value * 1_000) / 1_000

function asText(answer: LeadSets, by: MatchBy, cable: string, window: number, size: number): string {
  const at = by.unit === 'deg' ? ` at ${by.fMhz} MHz` : ''
  const proof = answer.provenBest
    ? 'proven: no choice makes more'
    : `at most ${answer.provenMost} are possible`
  const lines = [
    `${answer.sets.length} ${answer.sets.length === 1 ? 'set' : 'sets'} of ${size} leads of ${cable} within ${differenceText(by, window)}${at} (${proof})`,
    ...answer.sets.map(
      (set, i) =>
        `set ${i + 1}: ${set.serials.join(' ')}; apart ${differenceText(by, set.spread)} and ${figureText(set.lossSpreadDb, 3)} dB; lot ${set.lot}; measured at ${set.tempFromC} to ${set.tempToC} °C`,
    ),
    ...answer.rescued.map(
      (r) =>
        `trim ${r.serial} by ${r.trimMm.toFixed(2)} mm (${r.how}${r.costEur === null ? '' : `, ${r.costEur.toFixed(2)} EUR, ${figureText(r.minutes ?? 0, 1)} min`}) for a ${r.use}: ${r.chancePct.toFixed(0)} % likely to succeed`,
    ),
    ...answer.rescuedSets.map((set) => `then a further set: ${set.join(' ')}`),
    ...answer.unused.map(({ serial, why }) => `unused ${serial}: ${why}`),
    ...answer.notes.map((note) => `note: ${note}`),
  ]
  return `${lines.map(printable).join('\n')}\n`
}
