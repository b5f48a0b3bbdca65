import { returnLossDb } from '../cable/reflection.ts'
import type { OrderLine } from '../order/order-line.ts'
import { UM_PER_MM } from '../quantity/length.ts'
import type { Chain } from './chain.ts'
import type { Connector } from './connector.ts'
import type { CutTolerance } from './cut-tolerance.ts'
import { GUARD_RULE, type InstrumentUncertainty } from './guard.ts'
import { directLimits, limitsAt, ripplePeriodMhz } from './lead-limits.ts'

/** A limit of one lead: specification, and what is accepted inside it. null: none on that side, or no guard is reckoned for it. */
export interface JobLimit {
  name: string
  atMhz: number | null
  least: number | null
  most: number | null
  acceptLeast: number | null
  acceptMost: number | null
  unit: string
  source: string
}

export interface JobLimits {
  rule: string
  ripplePeriodMhz: number
  list: JobLimit[]
  notes: string[]
}

/** No more than this share of the sheet's pull on a lead that will be shipped (NASA-STD-8739.4). */
const PULL_SHARE = 0.8

export function jobLimits(
  line: OrderLine,
  chain: Chain,
  lengthM: number,
  tolerance: CutTolerance,
  instrument: InstrumentUncertainty,
): JobLimits {
  const asked = line.fTestMhz ?? chain.validity.validToMhz
  const atMhz = Math.min(asked, chain.validity.validToMhz)
  const at = limitsAt(chain, atMhz)
  const sheet = 'type, connectors, length and 20 °C'
  const list: JobLimit[] = [
    limit('length', 'mm', tolerance.source, {
      least: line.lengthUm / UM_PER_MM - tolerance.minusMm,
      most: line.lengthUm / UM_PER_MM + tolerance.plusMm,
    }),
    limit('insertion loss', 'dB', sheet, {
      atMhz,
      most: at.lossDb,
      acceptMost: at.lossDb - instrument.lossDb,
    }),
    ...(
      [
        ['A', at.gammaA],
        ['B', at.gammaB],
      ] as const
    ).map(([end, gamma]) =>
      limit(`return loss from end ${end}`, 'dB', 'both connectors in phase at their sheet values', {
        atMhz,
        least: returnLossDb(gamma),
        acceptLeast: gamma > instrument.gamma ? returnLossDb(gamma - instrument.gamma) : null,
      }),
    ),
    ...directList(chain),
    ...[chain.a, chain.b]
      .filter((c): c is Connector => c !== null)
      .slice(0, chain.a?.part === chain.b?.part ? 1 : 2)
      .map(({ part, pullMinN }) =>
        limit(
          `pull on ${part}`,
          'N',
          'on a lead that ships at most 80 % of the sheet value (NASA-STD-8739.4)',
          {
            most: PULL_SHARE * pullMinN,
          },
        ),
      ),
    ...matchLimits(line),
  ]
  const notes =
    asked > atMhz
      ? [`Asked up to ${asked} MHz; figures end at ${Math.floor(atMhz)} MHz, the ${chain.validity.endedBy}.`]
      : []
  if (at.lossDb - at.nominalLossDb < 2 * instrument.lossDb)
    notes.push(
      `The tolerance of insertion loss is ${(at.lossDb - at.nominalLossDb).toFixed(3)} dB, less than twice the uncertainty of ${instrument.lossDb} dB: a pass cannot be proven on so short a lead.`,
    )
  return {
    rule: GUARD_RULE,
    ripplePeriodMhz: ripplePeriodMhz(chain.cable.velocityRatio, lengthM),
    list,
    notes,
  }
}

function limit(
  name: string,
  unit: string,
  source: string,
  of: Partial<Omit<JobLimit, 'name' | 'unit' | 'source'>>,
): JobLimit {
  return {
    name,
    atMhz: null,
    least: null,
    most: null,
    acceptLeast: null,
    acceptMost: null,
    unit,
    source,
    ...of,
  }
}

function directList(chain: Chain): JobLimit[] {
  const direct = directLimits(chain)
  const ohms = 'resistance of the type at 20 °C and 10 mΩ for the contacts (common practice)'
  return [
    limit('continuity, inner', 'milliohm', ohms, { most: direct.innerMilliohm }),
    limit('continuity, outer', 'milliohm', ohms, { most: direct.outerMilliohm }),
    limit('insulation', 'megohm', direct.insulationSource, { least: direct.insulationMegohm }),
    limit('hipot', 'kV DC', `works setting of the core. ${direct.hipotCaution}`, { most: direct.hipotKvDc }),
  ]
}

function matchLimits({
  matchKind,
  matchFMhz,
  matchPhaseTolDeg,
  matchDelayNs,
  matchDelayTolPs,
}: OrderLine): JobLimit[] {
  if (matchKind === 'phase' && matchPhaseTolDeg !== null)
    return [
      limit('phase within the set, largest difference', 'degree', `order: ±${matchPhaseTolDeg}°`, {
        atMhz: matchFMhz,
        most: 2 * matchPhaseTolDeg,
      }),
    ]
  if (matchKind !== 'delay' || matchDelayTolPs === null) return []
  if (matchDelayNs === null)
    return [
      limit('delay within the set, largest difference', 'ps', `order: ±${matchDelayTolPs} ps`, {
        most: 2 * matchDelayTolPs,
      }),
    ]
  const ps = matchDelayNs * 1_000
  return [limit('delay', 'ps', 'order', { least: ps - matchDelayTolPs, most: ps + matchDelayTolPs })]
}
