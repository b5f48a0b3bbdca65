import { figureText } from '../quantity/length-text.ts'
import { textWidth } from './text-width.ts'

/** A tick of a ruler; `label` is null for the short ones between. */
export interface Tick {
  x: number
  value: number
  label: string | null
}

/** 1, 2 or 5 times a power of ten, not below the value. */
export function niceStep(atLeast: number): number {
  const power = 10 ** Math.floor(Math.log10(atLeast))
  for (const factor of [1, 2, 5]) if (factor * power >= atLeast * (1 - 1e-9)) return factor * power
  return 10 * power
}

/**
 * Ticks of a straight ruler that reads `fromValue` at `fromX` and `toValue` at `toX` (it may fall). The two ends are
 * always labelled, to a tenth; between them stand round figures, as many as have room, with short ticks at fifths or quarters.
 * `unit` is what the caller writes behind each figure: it takes room.
 */
export function rulerTicks(
  fromX: number,
  toX: number,
  fromValue: number,
  toValue: number,
  textSize: number,
  unit = '',
): Tick[] {
  const ends: Tick[] = [
    { x: fromX, value: fromValue, label: figureText(fromValue, 1) },
    { x: toX, value: toValue, label: figureText(toValue, 1) },
  ]
  const span = Math.abs(toValue - fromValue)
  const width = Math.abs(toX - fromX)
  // a span that is lost beside its own figures has no round figures within
  const lost = span <= 1e-9 * Math.max(Math.abs(fromValue), Math.abs(toValue))
  if (!(span > 0) || !(width > 0) || lost) return ends.slice(0, 1)
  const room = widestLabel(fromValue, toValue, unit, textSize) + 1.6 * textSize
  const step = niceStep((span * room) / width)
  const parts =
    step / 10 ** Math.floor(Math.log10(step) + 1e-9) > 1.5 && niceStep(step / 4) * 4 === step ? 4 : 5
  const minor = step / parts
  const ticks: Tick[] = []
  const low = Math.min(fromValue, toValue)
  const high = Math.max(fromValue, toValue)
  for (let k = Math.ceil(low / minor); k * minor <= high; k++) {
    const value = k * minor
    const x = fromX + ((value - fromValue) / (toValue - fromValue)) * (toX - fromX)
    const major = k % parts === 0
    const clear = ends.every((end) => Math.abs(end.x - x) >= room)
    ticks.push({ x, value, label: major && clear ? figureText(value, 3) : null })
  }
  // where both ends have no room side by side, the inner one stays silent; its figure is in the list
  if (width < room) ends[1] = { ...ends[1]!, label: null }
  return [...ends, ...ticks]
}

function widestLabel(a: number, b: number, unit: string, textSize: number): number {
  const width = (value: number) => textWidth(`${figureText(value, 1)}${unit}`, textSize)
  return Math.max(width(a), width(b))
}
