import type { Command } from 'commander'
import { attenuationDbPer100m } from '../cable/attenuation-fit.ts'
import { constructionFigures } from '../cable/construction.ts'
import { type Chain, chainOf } from '../lead/chain.ts'
import { type ChainLoss, chainLoss } from '../lead/chain-loss.ts'
import { lossCurve } from '../lead/loss-curve.ts'
import { figureText } from '../quantity/length-text.ts'
import { loadWorks } from '../server/load-works.ts'
import { readMoreLead } from '../server/read-more-records.ts'
import { readWorksFolder } from '../server/read-works-folder.ts'
import type { Works } from '../works/works.ts'
import { EXIT } from './exit-codes.ts'
import { known } from './known.ts'
import { printable } from './print.ts'
import { frequencyOption, lengthOption, numberOption } from './typed.ts'

interface LossOptions {
  cable: string
  length: number
  freq: number
  a?: string
  b?: string
  vswr: number
  temp: number
  json: boolean
}

export function addLoss(program: Command, help: string, done: (code: number) => void): void {
  program
    .command('loss')
    .description('loss, delay, phase and power limit of a length of cable with its connectors')
    .argument('<folder>', 'works folder')
    .requiredOption('--cable <id>', 'cable type, as in cables.csv')
    .requiredOption(
      '--length <length>',
      'length of the cable with its unit, such as 30m or 100ft',
      lengthOption,
    )
    .requiredOption('--freq <frequency>', 'frequency with its unit, such as 144MHz', frequencyOption)
    .option('--a <part>', 'connector at the near end, as in connectors.csv')
    .option('--b <part>', 'connector at the far end')
    .option('--vswr <ratio>', 'standing-wave ratio of the load', numberOption('', 1, 1_000), 1)
    .option('--temp <degrees>', 'temperature of cable and ambient, °C', numberOption('C', -100, 200), 20)
    .option('--json', 'print the figures for machines on standard output', false)
    .addHelpText('after', help)
    .action(async (folder: string, options: LossOptions) => {
      done(await lossOf(folder, options))
    })
}

async function lossOf(folder: string, options: LossOptions): Promise<number> {
  const content = await readWorksFolder(folder)
  const { works } = loadWorks(content)
  const { more } = await readMoreLead(content.path, content.name, works)
  const chain = chainAsked(works, options)
  const loss = chainLoss(chain, { fMhz: options.freq, vswr: options.vswr }, more.connectorPower)
  process.stdout.write(options.json ? asJson(chain, options, loss) : asText(chain, options, loss))
  return EXIT.ok
}

function chainAsked(works: Works, options: LossOptions): Chain {
  const connector = (id: string | undefined) =>
    id === undefined ? null : known(works.connectors, (c) => c.part, id, 'connector', 'connectors.csv')
  return chainOf({
    cable: known(works.cables, (c) => c.cable, options.cable, 'cable', 'cables.csv'),
    attenuation: works.attenuation,
    lengthM: options.length,
    tempC: options.temp,
    a: connector(options.a),
    b: connector(options.b),
  })
}

/** Points of the curve that a plot needs. */
const CURVE_POINTS = 61

function asJson(chain: Chain, options: LossOptions, loss: ChainLoss): string {
  const { fit } = chain
  return `${JSON.stringify({
    cable: chain.cable.cable,
    lengthM: chain.lengthM,
    fMhz: options.freq,
    tempC: chain.tempC,
    vswr: options.vswr,
    a: chain.a?.part ?? null,
    b: chain.b?.part ?? null,
    ...loss,
    fit: {
      from: fit.from,
      aDbPer100mPerSqrtMhz: fit.a,
      bDbPer100mPerMhz: fit.b,
      worstPct: fit.worstPct,
      points: fit.points.map(({ fMhz, attDbPer100m }) => ({ fMhz, attDbPer100m })),
    },
    construction: constructionFigures(chain.cable),
    curve: lossCurve(chain, fit.points[0]?.fMhz ?? 1, CURVE_POINTS),
  })}\n`
}

function asText(chain: Chain, options: LossOptions, loss: ChainLoss): string {
  const db = (value: number) => `${figureText(value, 3)} dB`
  const ends = [chain.a, chain.b].map((c) => c?.part ?? 'no connector').join(' and ')
  const spread = loss.standardUncertaintyDb
  const lines = [
    `${figureText(chain.lengthM, 3)} m of ${chain.cable.cable} with ${ends} at ${figureText(options.freq, 6)} MHz and ${chain.tempC} °C:`,
    `matched loss ${db(loss.matchedLossDb)} (cable ${db(loss.cableLossDb)}, connectors ${db(loss.connectorLossDb)}), ` +
      `standard uncertainty ${spread === null ? 'not known' : db(spread)}, promised at most ${db(loss.matchedLossLimitDb)}`,
    `with a load of VSWR ${options.vswr}: ${db(loss.totalLossDb)} (handbook approximation ${db(loss.approximateTotalLossDb)})`,
    `delay ${figureText(loss.delayNs, 4)} ns ± ${figureText(loss.delayPlusMinusNs, 4)} by lot, electrical length ${figureText(loss.electricalLengthM, 4)} m, ` +
      `phase ${figureText(loss.phaseDeg, 2)} degree ± ${figureText(loss.phasePlusMinusDeg, 1)} by lot after ${Math.floor(loss.turns)} whole turns`,
    loss.powerLimitW === null
      ? `power limit ${loss.limitedBy}`
      : `mean power at most ${Math.floor(loss.powerLimitW)} W, limited by ${loss.limitedBy}`,
    `figures hold up to ${Math.floor(loss.validToMhz)} MHz: ${loss.validToEndedBy}`,
    constructionText(chain, options.freq),
    ...loss.notes.map((note) => `note: ${note}`),
  ]
  return `${lines.map(printable).join('\n')}\n`
}

/** What the dimensions alone would give, beside what is declared. */
function constructionText({ cable, fit }: Chain, fMhz: number): string {
  const { zOhm, velocityRatio, loss } = constructionFigures(cable)
  const line = `from the dimensions alone: ${zOhm.toFixed(2)} ohm (declared ${cable.z0CalcOhm}), velocity ${velocityRatio.toFixed(3)} (${cable.velocityRatio})`
  if (!loss) return `${line}; its metals are not known, so no attenuation`
  const computed = loss.k1DbPer100mPerSqrtMhz * Math.sqrt(fMhz) + loss.k2DbPer100mPerMhz * fMhz
  const points = attenuationDbPer100m(fit, fMhz)
  const apart = 100 * (computed / points - 1)
  return `${line}, attenuation ${computed.toFixed(3)} dB/100 m at 20 °C (${fit.from}: ${points.toFixed(3)}, ${apart >= 0 ? '+' : ''}${apart.toFixed(1)} %)`
}
