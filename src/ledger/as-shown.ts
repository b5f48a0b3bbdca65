import type { OrderLine } from '../order/order-line.ts'
import type { Interval } from '../strip/cut-plan.ts'
import type { CutRules } from '../strip/cut-rules.ts'
import { markAtPlace, type UsableDrum } from '../strip/usable.ts'
import type { CommandBody, WantedPiece } from './command.ts'
import { orderedPiece } from './plan-names.ts'
import type { ScrapCause } from './scrap-cause.ts'

/** What stands beside a cut on the screen. */
export interface ShownCut {
  drum: string
  line: string
  /** Number of the mounting in the plan, from 1. */
  mounting: number
  usable: UsableDrum
  interval: Interval
  /** How many cuts from this one on are the same. */
  equal: number
  /** Nothing is cut: what stays on the drum, or is its inner end. */
  rest: boolean
  /** What the counter shows at the cut, m; null at a bench. */
  presetM: number | null
  /** Standard deviation of the length, µm. */
  uncUm: number
  rules: CutRules
  orderOf: (order: string, orderLine: number) => OrderLine | undefined
}

/** What is booked where all is as shown: lengths, marks and reading as they were to be expected. */
export function asShown(cut: ShownCut): CommandBody {
  const { drum, line, mounting, interval } = cut
  const place = cut.usable.drum.location ?? line
  if (cut.rest && interval.use === 'remnant')
    return {
      kind: 'put-drum-away',
      drum,
      line,
      place: line,
      endCaps: 'both',
      markRead: markAt(cut, interval.fromUm),
    }
  if (interval.use === 'piece') return { kind: 'cut-pieces', drum, line, mounting, pieces: piecesShown(cut) }
  const lengthUm = cut.rest ? null : interval.toUm - interval.fromUm
  if (interval.use === 'remnant')
    return { kind: 'wind-off', drum, line, newDrum: null, lengthUm, putup: interval.putup ?? '', place }
  return { kind: 'cut-off', drum, line, lengthUm, use: 'scrap', cause: scrapCause(cut) }
}

/** Marks that should stand at both cuts; null where nothing is printed. */
export function marksShown(cut: ShownCut): { outer: number | null; inner: number | null } {
  const { interval, usable } = cut
  // a cut on a restart of the print is read from inside the length
  const inwardsUm = Math.min(1, interval.toUm - interval.fromUm)
  return {
    outer: markAtPlace(usable, interval.fromUm + inwardsUm) === null ? null : markAt(cut, interval.fromUm),
    inner: markAt(cut, interval.fromUm + measuredUm(cut)),
  }
}

/** Of a bulk piece the trim is no part; of a bench length it is taken off at the bench. */
function measuredUm({ interval, rules }: ShownCut): number {
  const lengthUm = interval.toUm - interval.fromUm
  const bulk = interval.use === 'piece' && interval.putup !== null
  return bulk ? Math.max(1, lengthUm - rules.pieceTrimUm) : lengthUm
}

function piecesShown(cut: ShownCut): WantedPiece[] {
  const { interval, equal, usable } = cut
  if (interval.use !== 'piece') return []
  const lengthUm = interval.toUm - interval.fromUm
  const order = cut.orderOf(interval.order, interval.orderLine)
  return Array.from({ length: equal }, (_, n): WantedPiece => {
    const fromUm = interval.fromUm + n * lengthUm
    const here = { ...cut, interval: { ...interval, fromUm, toUm: fromUm + lengthUm } }
    const length = measuredUm(here)
    const { outer, inner } = marksShown(here)
    return {
      ...orderedPiece({ ...interval, piece: interval.piece + n * interval.count }, order),
      count: interval.count,
      putup: interval.putup,
      measuredUm: length,
      uncUm: cut.uncUm,
      trimUm: Math.min(lengthUm - length, usable.lengthUm),
      counterM: cut.presetM,
      markOuter: outer,
      markInner: inner,
      inspection: 'as shown',
    }
  })
}

/** In the words of the scrap card. */
function scrapCause({ interval, usable, rest }: ShownCut): ScrapCause {
  if (interval.use === 'end') return 'end'
  const overFault = usable.zones.some((z) => z.fromUm < interval.toUm && z.toUm > interval.fromUm)
  if (overFault) return 'fault'
  return rest || interval.toUm >= usable.good.toUm ? 'short rest' : 'other'
}

function markAt({ usable }: ShownCut, placeUm: number): number | null {
  return markAtPlace(usable, placeUm)?.mark ?? null
}
