import { figureText } from '../quantity/length-text.ts'
import { niceStep, type Tick } from './ruler.ts'
import { textWidth } from './text-width.ts'

/** An axis as it is asked for. Where an end is not given it follows from what is drawn. */
export interface ChartAxis {
  /** What it measures, with its unit: "diameter, mm". */
  label: string
  from?: number
  to?: number
  /** Decades instead of equal steps; values of nought and less are then not drawn. */
  log?: boolean
  /** No finer steps than this: whole things. */
  leastStep?: number
}

/** Values to drawing units. */
export interface ChartScale {
  from: number
  to: number
  /** NaN for a value that the scale cannot show. */
  at(value: number): number
  ticks: Tick[]
}

/** A scale from `fromUnits` (where `axis.from` lies) to `toUnits`; `labelRoom` is the room that a tick's label needs along it. */
export function chartScale(
  axis: ChartAxis,
  values: Extent,
  fromUnits: number,
  toUnits: number,
  labelRoom: (text: string) => number,
): ChartScale {
  const [from, to] = axis.log ? logEnds(axis, values) : plainEnds(axis, values)
  const along = axis.log
    ? (value: number) => (value > 0 ? Math.log(value / from) / Math.log(to / from) : Number.NaN)
    : (value: number) => (value - from) / (to - from)
  const at = (value: number) => fromUnits + along(value) * (toUnits - fromUnits)
  const size = Math.abs(toUnits - fromUnits)
  const ticks = axis.log
    ? logTicks(from, to, at, labelRoom)
    : plainTicks(from, to, size, at, labelRoom, axis.leastStep)
  return { from, to, at, ticks }
}

/** Least and greatest of what is drawn. */
export interface Extent {
  low: number
  high: number
}

export function extentOf(lists: Iterable<ArrayLike<number>>, log = false): Extent {
  let low = Number.POSITIVE_INFINITY
  let high = Number.NEGATIVE_INFINITY
  for (const list of lists)
    for (let i = 0; i < list.length; i++) {
      const value = list[i]!
      if (!Number.isFinite(value) || (log && value <= 0)) continue
      if (value < low) low = value
      if (value > high) high = value
    }
  return low <= high ? { low, high } : log ? { low: 1, high: 10 } : { low: 0, high: 1 }
}

/** Smaller than this is nought. */
const LEAST = 1e-30
/** A scale by decades shows at most so many, from the top. */
const MOST_DECADES = 15

/** Round figures a little beyond the values; an end that is given stays. */
function plainEnds(axis: ChartAxis, { low, high }: Extent): [number, number] {
  let from = axis.from ?? low
  let to = axis.to ?? high
  // a value that never changes still needs room above and below; also where the change is lost in its figures
  if (!(to - from > 1e-9 * Math.max(Math.abs(from), Math.abs(to), LEAST))) {
    const half = Math.abs(from) > LEAST ? Math.abs(from) * 0.05 : 0.5
    if (axis.from === undefined) from -= half
    if (axis.to === undefined || axis.to <= from) to = from + 2 * half
  }
  const step = niceStep((to - from) / 8)
  if (axis.from === undefined) from = Math.floor(from / step + 1e-9) * step
  if (axis.to === undefined) to = Math.ceil(to / step - 1e-9) * step
  return [from, to > from ? to : from + step]
}

function logEnds(axis: ChartAxis, { low, high }: Extent): [number, number] {
  const top =
    axis.to !== undefined && axis.to > LEAST ? axis.to : 10 ** Math.ceil(Math.log10(Math.max(high, LEAST)))
  const least = top / 10 ** MOST_DECADES
  const from =
    axis.from !== undefined && axis.from > LEAST
      ? axis.from
      : 10 ** Math.floor(Math.log10(Math.max(low, least)))
  return [from, top > from ? top : 10 * from]
}

function plainTicks(
  from: number,
  to: number,
  size: number,
  at: (value: number) => number,
  labelRoom: (text: string) => number,
  leastStep = 0,
): Tick[] {
  const widest = Math.max(
    labelRoom(tickText(from, (to - from) / 10)),
    labelRoom(tickText(to, (to - from) / 10)),
  )
  const step = Math.max(leastStep, niceStep(((to - from) * widest) / Math.max(size, widest)))
  const ticks: Tick[] = []
  for (let k = Math.ceil(from / step - 1e-9); k * step <= to + 1e-9 * step; k++)
    ticks.push({ x: at(k * step), value: k * step, label: tickText(k * step, step) })
  return ticks
}

/** Powers of ten with their label; 2 and 5 between them where there is room; the others are short ticks. */
function logTicks(
  from: number,
  to: number,
  at: (value: number) => number,
  labelRoom: (text: string) => number,
): Tick[] {
  const ticks: Tick[] = []
  const decade = Math.abs(at(10 * from) - at(from))
  const every = Math.max(1, Math.ceil(labelRoom('10 000') / decade))
  for (let power = Math.floor(Math.log10(from)); 10 ** power <= to * (1 + 1e-9); power++)
    for (let digit = 1; digit < 10; digit++) {
      const value = digit * 10 ** power
      if (value < from * (1 - 1e-9) || value > to * (1 + 1e-9)) continue
      const text = tickText(value, value)
      const main = digit === 1 && power % every === 0
      const between = (digit === 2 || digit === 5) && every === 1 && decade > 4 * labelRoom(text)
      ticks.push({ x: at(value), value, label: main || between ? text : null })
    }
  return ticks
}

/** A figure with as many decimals as its step needs. */
export function tickText(value: number, step: number): string {
  const decimals = Math.min(9, Math.max(0, -Math.floor(Math.log10(Math.abs(step)) + 1e-9)))
  const large = Math.abs(value) >= 1e7
  return large ? value.toExponential(2).replace(/\.?0+e\+?/, 'e') : figureText(value, decimals)
}

/** Room for labels side by side, and for labels one above the other. */
export const besideRoom = (textSize: number) => (text: string) => textWidth(text, textSize) + 1.4 * textSize
export const stackedRoom = (textSize: number) => () => 2 * textSize
