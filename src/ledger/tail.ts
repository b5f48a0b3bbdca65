import { catalogOf } from '../plan/catalog.ts'
import type { PlanInput } from '../plan/plan-input.ts'
import type { LengthUm } from '../quantity/length.ts'
import type { Interval, Mounting } from '../strip/cut-plan.ts'
import { type Stretch, stretchesBetween, type UsableDrum } from '../strip/usable.ts'

/** What a plan leaves over in one place of one drum: a rest that is kept, or scrap. */
export interface Tail {
  mounting: number
  interval: number
  drum: string
  cable: string
  line: string
  left: Extract<Interval, { use: 'remnant' | 'scrap' }>
  /** Where in it a sound piece can lie: between end losses, touching no fault of any kind. Outermost first, longest few. */
  sound: Stretch[]
}

/** Sound stretches of one tail that are looked at. */
const MOST_STRETCHES = 3

/** The tails of a plan on rewinding lines, in the order of cutting; what a later mounting of the same drum cuts from is none. */
export function tailsOf(input: PlanInput, mountings: readonly Mounting[]): Tail[] {
  const catalog = catalogOf(input)
  const tails: Tail[] = []
  for (const [at, { drum, line, intervals }] of mountings.entries()) {
    const usable = catalog.drums.get(drum)
    if (!usable || !catalog.lines.has(line)) continue
    const again = mountings.slice(at + 1).some((m) => m.drum === drum)
    for (const [i, left] of intervals.entries()) {
      if (left.use !== 'remnant' && left.use !== 'scrap') continue
      if (again && left.use === 'remnant' && left.putup === null) continue
      const sound = soundWithin(usable, left)
      if (sound.length > 0)
        tails.push({ mounting: at, interval: i, drum, line, cable: usable.drum.cable, left, sound })
    }
  }
  return tails
}

function soundWithin(usable: UsableDrum, left: Stretch): Stretch[] {
  const fromUm = Math.max(left.fromUm, usable.good.fromUm)
  const toUm = Math.min(left.toUm, usable.good.toUm)
  return stretchesBetween({ fromUm, toUm }, usable.zones)
    .sort((a, b) => b.toUm - b.fromUm - (a.toUm - a.fromUm))
    .slice(0, MOST_STRETCHES)
    .sort((a, b) => a.fromUm - b.fromUm)
}

/** A coil of the shelf as it is cut. */
export interface TailCoil {
  /** Number of its kind. */
  kind: number
  order: string
  orderLine: number
  putup: string
  declaredUm: LengthUm
  cutUm: LengthUm
}

/**
 * What stands in the place of a tail when these coils are cut at the outer end of one of its sound stretches. The rest is what
 * the tail was, or scrap where that is asked. Piece numbers are given later.
 */
export function cutTail(
  tail: Tail,
  stretch: Stretch,
  coils: readonly TailCoil[],
  scrapRest: boolean,
): Interval[] {
  const { left } = tail
  const intervals: Interval[] = []
  if (stretch.fromUm > left.fromUm)
    intervals.push({ fromUm: left.fromUm, toUm: stretch.fromUm, use: 'scrap', cause: 'fault' })
  let atUm = stretch.fromUm
  for (const { order, orderLine, putup, declaredUm, cutUm } of coils) {
    intervals.push({
      ...{ fromUm: atUm, toUm: atUm + cutUm, use: 'piece', order, orderLine, putup, declaredUm },
      ...{ piece: 1, part: 1, count: 1 },
    })
    atUm += cutUm
  }
  if (atUm === left.toUm) return intervals
  const rest = { fromUm: atUm, toUm: left.toUm }
  if (scrapRest) intervals.push({ ...rest, use: 'scrap', cause: 'short rest' })
  else intervals.push({ ...left, ...rest })
  return intervals
}

export function withTail(mounting: Mounting, interval: number, instead: Interval[]): Mounting {
  const intervals = [...mounting.intervals]
  intervals.splice(interval, 1, ...instead)
  return { ...mounting, intervals }
}
