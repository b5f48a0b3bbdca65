import { declaredText } from '../dispatch/declared-length.ts'
import type { Market } from '../hall/market.ts'
import type { OrderLine } from '../order/order-line.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { CutPiece } from './event.ts'
import { refused } from './refuse.ts'

export type Declared = Pick<CutPiece, 'declaredUm' | 'declaredText' | 'fit'>

/** Allows for the rounding of a length that was cut as exactly declared·(1 + guard), as plan/item.ts does. */
const ROUNDING_UM = 0.02

/** A coil that nobody ordered: what it is made to, if anything is said. */
interface StandardCoil {
  standardUm: LengthUm | null
}

/**
 * What a piece of bulk cable declares: the ordered length where the lower bound of what was measured, measured / (1 + guard),
 * reaches it, else that lower bound. `guard` is the works' own length guard, on lengths already corrected (JCGM 106:2012
 * 8.3.2). 'short': below what the order line tolerates; 'long': the lower bound is above it. A part of a piece that may
 * come in parts declares its own lower bound, and is short below the shortest part. A bench length declares nothing:
 * its leads do.
 */
export function declarePiece(
  works: PlanInput,
  wanted: OrderLine | StandardCoil,
  measuredUm: LengthUm,
): Declared {
  const lowerUm = lowerBoundUm(works, measuredUm)
  if (!('order' in wanted)) {
    const { standardUm } = wanted
    const declaredUm = standardUm === null ? lowerUm : Math.min(standardUm, lowerUm)
    const fit = standardUm !== null && lowerUm < standardUm ? 'short' : 'good'
    return { declaredUm, declaredText: declaredText(declaredUm, homeMarket(works)), fit }
  }
  if (wanted.kind === 'lead') return { declaredUm: null, declaredText: '', fit: 'good' }
  const declaredUm = Math.min(wanted.lengthUm, lowerUm)
  return {
    declaredUm,
    declaredText: textFor(works, wanted.market, declaredUm),
    fit: fitOf(wanted, lowerUm),
  }
}

export function lowerBoundUm({ site }: PlanInput, measuredUm: LengthUm): LengthUm {
  return Math.floor(measuredUm / (1 + site.cutRules.lengthGuardRatio) + ROUNDING_UM)
}

/** The shortest length that an order line of bulk takes for a whole piece. */
export function leastUm({ lengthUm, tolMinusPct }: OrderLine): LengthUm {
  return Math.ceil(lengthUm * (1 - (tolMinusPct ?? 0) / 100))
}

export function textFor(works: PlanInput, market: string, declaredUm: LengthUm): string {
  return declaredText(declaredUm, works.markets.find((m) => m.market === market) ?? homeMarket(works))
}

/** What is for no order yet is labelled for the works' home: the first market that counts in metres. */
export function homeMarket({ markets }: PlanInput): Market {
  const home = markets.find((m) => m.orderUnit === 'm') ?? markets[0]
  if (!home) throw refused('The works has no market; a label needs one.')
  return home
}

function fitOf(line: OrderLine, lowerUm: LengthUm): Declared['fit'] {
  const mostUm = line.lengthUm * (1 + (line.tolPlusPct ?? 0) / 100)
  if (lowerUm > mostUm) return 'long'
  const enoughUm = line.singleLength ? leastUm(line) : Math.min(leastUm(line), line.minPieceUm ?? 0)
  return lowerUm < enoughUm ? 'short' : 'good'
}
