import type { Command } from 'commander'
import { agreedLength, leastErrorFoundUm, type Witness, type WitnessFinding } from '../measure/witness.ts'
import { mFromUm } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreRecords } from '../server/read-more-records.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import { witnessedDrums } from '../works/length-questions.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

export function addWitnesses(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('witnesses')
    .description('one length for every drum from all that measured it, and the witness that does not fit')
    .argument('<folder>', 'works folder')
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async (folder: string, options: { json: boolean }) => {
      done(await witnessesOfFolder(folder, options))
    })
}

interface JudgedDrum {
  drum: string
  witnesses: Witness[]
  finding: WitnessFinding
}

/** Every drum of the store, those whose witnesses quarrel first. */
async function witnessesOfFolder(folder: string, { json }: { json: boolean }): Promise<number> {
  const content = await readWorksFolder(folder)
  const { works } = loadWorks(content)
  const { more } = await readMoreRecords(content.path, content.name, works)
  const judged: JudgedDrum[] = witnessedDrums(works, more).map(({ drum, witnesses }) => ({
    drum: drum.drum,
    witnesses,
    finding: agreedLength(witnesses),
  }))
  judged.sort((a, b) => Number(a.finding.agree) - Number(b.finding.agree))
  const text = json ? JSON.stringify(judged.map(figures)) : textLines(judged).map(printable).join('\n')
  process.stdout.write(`${text}\n`)
  return EXIT.ok
}

const metres = (um: number | null): number | null => (um === null ? null : mFromUm(um))

function figures({ drum, witnesses, finding }: JudgedDrum): Record<string, unknown> {
  return {
    drum,
    agreedM: metres(finding.lengthUm),
    standardUncertaintyM: metres(finding.standardUm),
    agree: finding.agree,
    quarrels: finding.quarrels,
    likeliest: finding.likeliest,
    offM: metres(finding.offUm),
    chiSquare: finding.chiSquare,
    freedom: finding.freedom,
    chance: finding.chance,
    bookErrorFoundFromM: metres(leastErrorFoundUm(witnesses, 'book')),
    witnesses: witnesses.map((w) => ({
      kind: w.kind,
      lengthM: mFromUm(w.lengthUm),
      standardUncertaintyM: mFromUm(w.standardUm),
      from: w.from,
    })),
  }
}

function textLines(judged: JudgedDrum[]): string[] {
  const apart = judged.filter((j) => !j.finding.agree)
  const head =
    apart.length === 0
      ? `On all ${judged.length} drums the witnesses agree.`
      : `On ${apart.length} of ${judged.length} drums the witnesses do not agree: measure ${apart.length === 1 ? 'it' : 'them'} before anything is promised from ${apart.length === 1 ? 'it' : 'them'}.`
  return [head, ...judged.map(drumText)]
}

/** Short lengths to the centimetre. */
const mText = (um: number) => figureText(mFromUm(um), um < 10_000_000 ? 2 : 1)

function drumText({ drum, witnesses, finding }: JudgedDrum): string {
  const said = witnesses.map((w) => `${w.kind} ${mText(w.lengthUm)} ± ${mText(w.standardUm)}`).join(', ')
  const { lengthUm, standardUm, quarrels, offUm } = finding
  const agreed = lengthUm === null ? 'not known' : `${mText(lengthUm)} m ± ${mText(standardUm ?? 0)} m`
  if (finding.agree) return `${drum}: ${agreed} (${said})`
  if (quarrels === null) {
    const { likeliest } = finding
    const guess = likeliest
      ? `${likeliest.kind} the likeliest, ${figureText(likeliest.odds, 1)} to 1`
      : 'nothing tells which is wrong'
    return `${drum}: ${agreed}; THE WITNESSES QUARREL, ${guess} (${said})`
  }
  const off = offUm ?? 0
  return `${drum}: ${agreed}; THE ${quarrels.toUpperCase()} DOES NOT FIT, ${mText(Math.abs(off))} m too ${off > 0 ? 'long' : 'short'} (${said})`
}
