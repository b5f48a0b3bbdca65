import { type Command, InvalidArgumentError } from 'commander'
import { cutLengthM, type PutupAsk } from '../putup/putup-ask.ts'
import { choosePutups, type PutupChoice } from '../putup/putup-choice.ts'
import { mFromUm } from '../quantity/length.ts'
import { figureText, lengthText } from '../quantity/length-text.ts'
import { type TypedLength, typedLength } from '../quantity/typed-length.ts'
import { loadWorks } from '../server/load-works.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import type { Works } from '../works/works.ts'
import { EXIT } from './exit-codes.ts'
import { known } from './known.ts'
import { printable } from './print.ts'

interface PutupOptions {
  cable: string
  length: TypedLength
  market?: string
  json: boolean
}

export function addPutup(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('putup')
    .description('which coils, bobbins and drums take a length of a cable, which do not and why, best first')
    .argument('<folder>', 'works folder')
    .requiredOption('--cable <id>', 'cable type, as in cables.csv')
    .requiredOption(
      '--length <length>',
      'declared length with its unit, such as 250m, 250.5m or 800ft',
      declaredLength,
    )
    .option('--market <id>', 'market, as in markets.json: its rule on wood then counts')
    .option('--json', 'print the list for machines on standard output', false)
    .addHelpText('after', help)
    .action(async (folder: string, options: PutupOptions) => {
      done(await putupsFor(folder, options))
    })
}

/** Kept in the unit it was typed in. */
function declaredLength(text: string): TypedLength {
  const read = typedLength(text)
  if ('wrong' in read) throw new InvalidArgumentError(read.wrong)
  return read
}

async function putupsFor(folder: string, options: PutupOptions): Promise<number> {
  const { works } = loadWorks(await readWorksFolder(folder))
  const ask = askOf(works, options)
  const choices = choosePutups(ask)
  if (options.json) {
    process.stdout.write(`${JSON.stringify(choices, toMicro)}\n`)
    return EXIT.ok
  }
  const wanted = lengthText(options.length.lengthUm, options.length.unit)
  const where = ask.market === null ? '' : ` for market ${ask.market.market}`
  const cutM = figureText(cutLengthM(ask, ask.declaredM), 2)
  const head = `${wanted} of ${ask.cable.cable}${where}, ${cutM} m cut: ${bestText(choices)}`
  const lines = [head, ...bestFacts(choices[0]), ...tableLines(choices)]
  process.stdout.write(`${lines.map(printable).join('\n')}\n`)
  return EXIT.ok
}

function askOf(works: Works, { cable, length, market }: PutupOptions): PutupAsk {
  const { site, costs, putups } = works
  return {
    cable: known(works.cables, (c) => c.cable, cable, 'cable', 'cables.csv'),
    declaredM: mFromUm(length.lengthUm),
    putups,
    putupRules: site.putupRules,
    cutRules: site.cutRules,
    lines: site.lines,
    market:
      market === undefined ? null : known(works.markets, (m) => m.market, market, 'market', 'markets.json'),
    oven: site.oven,
    costs,
  }
}

/** Figures to the millionth: what lies beyond is noise of the arithmetic. */
function toMicro(_key: string, value: unknown): unknown {
  return typeof value === 'number' ? Math.round(value * 1e6) / 1e6 : value
}

function bestText(choices: PutupChoice[]): string {
  const [best] = choices
  const fitting = choices.filter((c) => c.fits).length
  if (!best?.fits) return 'no put-up of the works takes it in one piece.'
  const money = `${best.packedEur.toFixed(2)} EUR with packing and handling on ${best.line}`
  const among = fitting === 1 ? 'the only one that fits' : `the cheapest of ${fitting} that fit`
  return `${best.putup} is ${among}, ${money}, ${best.grossKg.toFixed(1)} kg gross.`
}

/** How the best one is wound and packed, and the second opinion on what it holds. */
function bestFacts(best: PutupChoice | undefined): string[] {
  if (!best?.fits) return []
  const mm = (value: number | null) => (value === null ? 'unknown' : `${value.toFixed(0)} mm`)
  const { coil, film, footage } = best
  const facts = [
    `Wound: ${best.layers} of ${best.layersMost} layers, ${best.turnsPerLayer} turns side by side, ${best.turns?.toFixed(1)} turns in all, ` +
      `${mm(best.outerDiameterMm)} over the cable${coil ? '' : `, ${mm(best.freeFlangeMm)} of flange free`}.`,
  ]
  if (coil)
    facts.push(
      `Coil: ${mm(coil.innerMm)} inside, ${mm(coil.outerMm)} outside, ${mm(coil.widthMm)} wide; ${coil.ties} ties of ${mm(coil.tieMm)}.`,
    )
  if (film && film.massKg !== null)
    facts.push(`Film: roll of ${mm(film.rollMm)}, cut at ${mm(film.lengthMm)}, ${film.massKg.toFixed(3)} kg.`)
  if (footage) facts.push(`Second opinion: ${footage.text}`)
  return facts
}

function tableLines(choices: PutupChoice[]): string[] {
  const heads = ['', 'put-up', 'holds', 'limited by', 'gross', 'put-up costs', 'all in']
  const rows = choices.map((c) => [
    c.fits ? 'fits' : 'no',
    c.putup,
    `${(Math.floor(c.capacityM * 10) / 10).toFixed(1)} m`,
    c.limitedBy,
    `${c.grossKg.toFixed(1)} kg`,
    `${c.costEur.toFixed(2)} EUR`,
    `${c.packedEur.toFixed(2)} EUR`,
  ])
  const widths = heads.map((head, i) => Math.max(head.length, ...rows.map((row) => row[i]!.length)))
  const figures = new Set([2, 4, 5, 6])
  const laidOut = (row: string[]) =>
    row.map((cell, i) => (figures.has(i) ? cell.padStart(widths[i]!) : cell.padEnd(widths[i]!))).join('  ')
  return [
    laidOut(heads),
    ...choices.flatMap((c, i) => [
      laidOut(rows[i]!),
      ...[c.reason, ...c.notes.map((note) => `Note: ${note}`)].map((text) => `        ${text}`),
    ]),
  ]
}
