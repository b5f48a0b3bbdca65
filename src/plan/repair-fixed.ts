import { allowsFault } from '../order/faults-allowed.ts'
import type { OrderLine } from '../order/order-line.ts'
import { LastmetreError } from '../quantity/errors.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting, PieceInterval } from '../strip/cut-plan.ts'
import type { UsableDrum } from '../strip/usable.ts'
import { type Catalog, orderKey } from './catalog.ts'
import { emptyTally, SLACK_UM } from './tally.ts'
import { checkMounting } from './verify-mounting.ts'

/** So many intervals of a mounting, from the outer end, that stay as they are. */
export interface StayingCuts {
  /** Its place in the plan's list of mountings, from 0. */
  mounting: number
  intervals: number
}

/** The part of a mounting that stays. */
export interface FixedMounting {
  /** Place in the old plan. */
  index: number
  drum: string
  line: string
  /** What stays; a piece that the works no longer takes is scrap or a remnant in the same place. */
  intervals: Interval[]
  /** How many intervals of the old mounting these were. */
  taken: number
  /** What is left on the drum after it: it may be cut further. null where nothing is. */
  restUm: { fromUm: LengthUm; toUm: LengthUm } | null
  /** The mounting can go on where it stands, without mounting the drum anew. */
  open: boolean
}

/** A piece that was cut and is no longer wanted or no longer good; it stays where it was cut. */
export interface LostPiece {
  drum: string
  piece: PieceInterval
  cause: string
}

export interface FixedPart {
  mountings: FixedMounting[]
  lost: LostPiece[]
}

/**
 * What of a plan stays: cuts that were made, and cuts that a person holds. A mounting that was begun can go on if its drum is
 * still on the line, that is if it is the last one begun there; a held one always can. Throws where this is no part of the plan.
 */
export function fixedPart(
  catalog: Catalog,
  old: Mounting[],
  made: StayingCuts[],
  held: StayingCuts[],
): FixedPart {
  const count = new Map<number, number>()
  for (const { mounting, intervals } of [...made, ...held]) {
    const there = old[mounting]
    if (!there || intervals < 0 || intervals > there.intervals.length)
      throw new LastmetreError(
        'event-refused',
        `Mounting ${mounting + 1} of the plan has no ${intervals} intervals.`,
      )
    count.set(mounting, Math.max(count.get(mounting) ?? 0, intervals))
  }
  const begun = [...count].filter(([, n]) => n > 0).sort((a, b) => a[0] - b[0])
  const madeOf = new Map(made.filter((m) => m.intervals > 0).map((m) => [m.mounting, m.intervals]))
  const part: FixedPart = { mountings: [], lost: [] }
  for (const [index, n] of begun) {
    const mounting = old[index]!
    const usable = catalog.drums.get(mounting.drum)
    if (!usable)
      throw new LastmetreError('event-refused', `${mounting.drum} was cut and is not in the works.`)
    // in the works' eyes a drum that was begun and is finished has left the line
    const lastMade = [...madeOf.keys()].filter((i) => old[i]!.line === mounting.line)
    const open = madeOf.has(index) ? Math.max(...lastMade) === index : true
    const intervals = mounting.intervals
      .slice(0, n)
      .flatMap((interval) => mended(catalog, usable, mounting.line, interval, part.lost))
    part.mountings.push({
      index,
      drum: mounting.drum,
      line: mounting.line,
      intervals,
      taken: n,
      ...restOf(mounting, n, open && usable.drum.status === 'free'),
    })
  }
  checkEarlierOnes(old, part.mountings)
  return part
}

/** What follows the part that stays: the rest of the mounting, or what a finished one left on the drum. */
function restOf(mounting: Mounting, taken: number, open: boolean): Pick<FixedMounting, 'restUm' | 'open'> {
  const { intervals } = mounting
  const finished = intervals.slice(taken).every((i) => i.use === 'end')
  if (!finished) {
    const fromUm = intervals[taken]!.fromUm
    return { restUm: { fromUm, toUm: intervals[intervals.length - 1]!.toUm }, open }
  }
  const stays = intervals.find((i) => i.use === 'remnant' && i.putup === null)
  return { restUm: stays ? { fromUm: stays.fromUm, toUm: stays.toUm } : null, open: false }
}

/** A drum that is mounted twice was mounted the first time before the second. */
function checkEarlierOnes(old: Mounting[], fixed: FixedMounting[]): void {
  for (const { index, drum } of fixed)
    for (const [i, mounting] of old.entries()) {
      if (mounting.drum !== drum || i >= index) continue
      const earlier = fixed.find((f) => f.index === i)
      if (!earlier || earlier.taken < mounting.intervals.length)
        throw new LastmetreError('event-refused', `${drum} was mounted before and not finished then.`)
    }
}

/** An interval as the works sees it now. */
function mended(
  catalog: Catalog,
  usable: UsableDrum,
  line: string,
  interval: Interval,
  lost: LostPiece[],
): Interval[] {
  if (interval.use !== 'piece') return [interval]
  const order = catalog.orders.get(orderKey(interval.order, interval.orderLine))
  const wanted = order && order.cable === usable.drum.cable ? wantedCount(order, interval) : 0
  const fault = order && usable.zones.find((z) => touches(interval, z) && !allowsFault(order, z.fault))
  if (wanted === interval.count && !fault) return [interval]
  const perUm = (interval.toUm - interval.fromUm) / interval.count
  const atUm = fault ? interval.fromUm : Math.round(interval.fromUm + wanted * perUm)
  const kept: Interval[] = !fault && wanted > 0 ? [{ ...interval, toUm: atUm, count: wanted }] : []
  const piece = fault
    ? interval
    : { ...interval, fromUm: atUm, piece: interval.piece + wanted, count: interval.count - wanted }
  const cause = fault ? `fault ${fault.fault.fault}` : 'no longer ordered'
  lost.push({ drum: usable.drum.drum, piece, cause })
  return [...kept, inStock(catalog, usable, line, piece, cause, fault !== undefined)]
}

function touches(interval: Interval, zone: { fromUm: LengthUm; toUm: LengthUm }): boolean {
  return interval.fromUm < zone.toUm - SLACK_UM && interval.toUm > zone.fromUm + SLACK_UM
}

/** How many of the pieces of an interval are still ordered. */
function wantedCount(order: OrderLine, { piece, count }: PieceInterval): number {
  return Math.max(0, Math.min(count, order.qty - piece + 1))
}

/** A piece that nobody orders any more is stock on its own put-up where that is allowed; one with a fault is scrap. */
export function inStock(
  catalog: Catalog,
  usable: UsableDrum,
  line: string,
  { fromUm, toUm, putup }: PieceInterval,
  cause: string,
  faulty: boolean,
): Interval {
  const scrap: Interval = { fromUm, toUm, use: 'scrap', cause }
  if (faulty || putup === null) return scrap
  const remnant: Interval = { fromUm, toUm, use: 'remnant', putup }
  const tally = emptyTally(catalog)
  const { drum, lengthUm } = usable
  checkMounting(
    tally,
    {
      drum: drum.drum,
      line,
      intervals: [
        { fromUm: 0, toUm: fromUm, use: 'scrap', cause },
        remnant,
        { fromUm: toUm, toUm: lengthUm, use: 'remnant', putup: null },
      ],
    },
    0,
  )
  return tally.broken.some((b) => b.rule === 'put-up' || b.rule === 'ends') ? scrap : remnant
}
