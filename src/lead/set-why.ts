import { figureText } from '../quantity/length-text.ts'
import type { MatchBy } from './set-trim.ts'
import { EDGE } from './set-window.ts'

/** A difference in the unit of the match, for the eye. */
export function differenceText(by: MatchBy, value: number): string {
  return by.unit === 'ps' ? `${figureText(value, 1)} ps` : `${figureText(value, 2)}°`
}

/** The values between which one set lies. */
export interface SetSpan {
  from: number
  to: number
}

/** Why a sound lead is in no set: `spans` are the sets of its pool by their number, from 1. */
export function whyLeftOver(
  value: number,
  spans: { number: number; span: SetSpan }[],
  fitInPool: number,
  by: MatchBy,
  window: number,
  size: number,
): string {
  if (fitInPool < size)
    return `only ${fitInPool} of its lot and connectors ${fitInPool === 1 ? 'is' : 'are'} fit for a set, which needs ${size}`
  let nearest: { number: number; off: number; longer: boolean } | null = null
  for (const { number, span } of spans) {
    const off = Math.max(0, value - (span.from + window), span.to - window - value)
    if (nearest === null || off < nearest.off) nearest = { number, off, longer: value > span.from + window }
  }
  if (nearest === null)
    return `no ${size} leads of its lot and connectors lie within ${differenceText(by, window)}`
  if (nearest.off <= EDGE) return `a spare: it fits set ${nearest.number}, which is whole`
  const off = differenceText(by, nearest.off)
  return `${off} too ${nearest.longer ? 'long' : 'short'} for the nearest set (${nearest.number}), and no ${size} that are left lie within ${differenceText(by, window)}`
}
