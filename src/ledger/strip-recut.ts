import type { LedgerEvent } from './event.ts'
import { stretchesOf, stripOf } from './known.ts'
import { move } from './movement.ts'
import type { LedgerState } from './state.ts'
import type { StretchRow } from './state-rows.ts'
import { trueUm } from './strip-place.ts'

export interface Recut {
  strip: string
  /** Both ends are ends of stretches. */
  fromUm: number
  toUm: number
  /** Tile it, in any order. */
  into: StretchRow[]
  /** One standard deviation of what the true length changes by. */
  uncUm: number
  line?: string | null
  cause: string
}

/**
 * Puts other stretches in place of those between two places of a strip. Where the true lengths add up to more or less than
 * they did, the difference is book error: so what came in and what was found always equals what the strip is made of.
 */
export function recut(state: LedgerState, event: LedgerEvent, change: Recut): void {
  const { strip, fromUm, toUm, into, uncUm, cause } = change
  const before = stretchesOf(state, strip)
  const first = indexFrom(before, fromUm)
  let end = first
  let differenceUm = 0
  for (; end < before.length && before[end]!.toUm <= toUm; end++) differenceUm -= trueUm(before[end]!)
  if (before[first]?.fromUm !== fromUm || before[end - 1]?.toUm !== toUm)
    throw new Error(`event ${event.seq}: the strip ${strip} has no stretches from ${fromUm} to ${toUm}`)
  const now = into.filter((s) => s.toUm > s.fromUm).sort((a, b) => a.fromUm - b.fromUm)
  for (const stretch of now) differenceUm += trueUm(stretch)
  state.stretches.put(strip, [...before.slice(0, first), ...now, ...before.slice(end)])
  const line = change.line ?? null
  move(state, event, stripOf(state, { strip }), { what: 'book error', um: differenceUm, uncUm, cause, line })
}

/** The stretch that begins at a place; stretches stand in order. */
export function stretchFrom(stretches: StretchRow[], fromUm: number): StretchRow | undefined {
  const stretch = stretches[indexFrom(stretches, fromUm)]
  return stretch?.fromUm === fromUm ? stretch : undefined
}

/** Index of the first stretch that begins at the place or after it. */
function indexFrom(stretches: StretchRow[], fromUm: number): number {
  let low = 0
  let high = stretches.length
  while (low < high) {
    const middle = (low + high) >> 1
    if (stretches[middle]!.fromUm < fromUm) low = middle + 1
    else high = middle
  }
  return low
}
