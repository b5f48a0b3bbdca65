import { type Command, InvalidArgumentError } from 'commander'
import { countLimits } from '../measure/control-chart.ts'
import { type FaultRate, faultRate } from '../measure/fault-rate.ts'
import {
  type InspectionLevel,
  type LotInspection,
  lotInspection,
  QUALITY_LEVELS,
  type QualityLevel,
} from '../measure/sampling-plan.ts'
import { UM_PER_M } from '../quantity/length.ts'
import { figureText } from '../quantity/length-text.ts'
import { loadWorks } from '../server/load-works.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import type { Works } from '../works/works.ts'
import { EXIT } from './exit-codes.ts'
import { printable } from './print.ts'

interface InspectionOptions {
  lot?: number
  level: InspectionLevel
  aql: QualityLevel
  json: boolean
}

export function addInspection(program: Command, exitCodes: string, done: (code: number) => void): void {
  program
    .command('inspection')
    .description('faults per km of each cable type with exact limits, and how many of a lot to inspect')
    .argument('<folder>', 'works folder')
    .option('--lot <number>', 'units in the lot that is to be inspected', lotSize)
    .option('--level <level>', 'general inspection level: I, II or III', level, 'II')
    .option('--aql <number>', `acceptable faulty units in a hundred: ${QUALITY_LEVELS.join(', ')}`, aql, 1)
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', exitCodes)
    .action(async (folder: string, options: InspectionOptions) => {
      done(await inspectFolder(folder, options))
    })
}

async function inspectFolder(folder: string, options: InspectionOptions): Promise<number> {
  const { works } = loadWorks(await readWorksFolder(folder))
  const rates = works.cables.map(({ cable }) => cableFaults(works, cable))
  const plan = options.lot === undefined ? null : lotInspection(options.lot, options.level, options.aql)
  const text = options.json
    ? JSON.stringify({ cables: rates, plan })
    : [...rates.map(rateText), ...planLines(plan, options)].map(printable).join('\n')
  process.stdout.write(`${text}\n`)
  return EXIT.ok
}

interface CableFaults {
  cable: string
  rate: FaultRate | null
  /** Drums with more faults than chance explains at this rate (above c̄ + 3√c̄ for their length). */
  manyFaults: string[]
}

/** All known faults but notes, on all drums of a type, by book length. */
function cableFaults(works: Works, cable: string): CableFaults {
  const drums = works.drums.filter((d) => d.cable === cable)
  const countOf = (drum: string) =>
    works.faults.filter((f) => f.drum === drum && f.severity !== 'note').length
  const lengthKm = drums.reduce((sum, d) => sum + d.bookUm, 0) / UM_PER_M / 1000
  const rate = faultRate(
    drums.reduce((sum, d) => sum + countOf(d.drum), 0),
    lengthKm,
  )
  const manyFaults = drums
    .filter((d) => rate && countOf(d.drum) > countLimits((rate.perKm * d.bookUm) / UM_PER_M / 1000).upper)
    .map((d) => d.drum)
  return { cable, rate, manyFaults }
}

function rateText({ cable, rate, manyFaults }: CableFaults): string {
  if (!rate) return `${cable}: no cable in the store, no rate known`
  const clean =
    rate.cleanM === null
      ? `clean for ${figureText(rate.cleanAtLeastM, 0)} m at least on average`
      : `clean for ${figureText(rate.cleanM, 0)} m on average (${figureText(rate.cleanAtLeastM, 0)} m at least)`
  const many = manyFaults.length > 0 ? `; more than chance on ${manyFaults.join(', ')}` : ''
  return (
    `${cable}: ${rate.faults} faults in ${figureText(rate.lengthKm, 2)} km, ${figureText(rate.perKm, 2)} per km ` +
    `(95 %: ${figureText(rate.lowerPerKm, 2)} to ${figureText(rate.upperPerKm, 2)}), ${clean}${many}`
  )
}

function planLines(
  plan: LotInspection | null,
  { lot, level: name, aql: limit }: InspectionOptions,
): string[] {
  if (!plan) return []
  const all = plan.wholeLot ? ' (each one)' : ''
  return [
    `Of a lot of ${lot}, level ${name}, AQL ${limit}: inspect ${plan.sample}${all}, accept with at most ${plan.accept} faulty, refuse with ${plan.accept + 1} (code ${plan.letter}, single, normal).`,
  ]
}

function lotSize(text: string): number {
  if (!/^\d{1,7}$/.test(text) || Number(text) < 2)
    throw new InvalidArgumentError('Give a whole number from 2 to 9999999.')
  return Number(text)
}

function level(text: string): InspectionLevel {
  if (text === 'I' || text === 'II' || text === 'III') return text
  throw new InvalidArgumentError('Give I, II or III.')
}

function aql(text: string): QualityLevel {
  const found = QUALITY_LEVELS.find((value) => String(value) === text.replace(/\.0$/, ''))
  if (found === undefined) throw new InvalidArgumentError(`Give one of ${QUALITY_LEVELS.join(', ')}.`)
  return found
}
