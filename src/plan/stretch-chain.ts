import type { LengthUm } from '../quantity/length.ts'
import type { Stretch } from '../strip/usable.ts'

/** Where the pieces of a stretch begin, and how much longer they could be together with all others as they are. */
export interface Chained {
  fromUm: LengthUm
  /** Negative where they are too long already. */
  roomUm: LengthUm
}

/**
 * Places pieces of these total lengths in stretches of a drum that may overlap, each as far out as it goes: those of one begin at
 * its outer edge or, where that lies further in, at the end of those before it. Both edges go inwards from stretch to stretch.
 */
export function chained(stretches: readonly Stretch[], lengthsUm: readonly LengthUm[]): Chained[] {
  const places: Chained[] = []
  let atUm = 0
  for (const [s, { fromUm }] of stretches.entries()) {
    const beginUm = Math.max(fromUm, atUm)
    atUm = beginUm + lengthsUm[s]!
    places.push({ fromUm: beginUm, roomUm: 0 })
  }
  let latestUm = Number.POSITIVE_INFINITY
  for (let s = stretches.length - 1; s >= 0; s--) {
    latestUm = Math.min(latestUm, stretches[s]!.toUm)
    places[s]!.roomUm = latestUm - places[s]!.fromUm - lengthsUm[s]!
    latestUm -= lengthsUm[s]!
  }
  return places
}

/** The room of one stretch alone, likewise. */
export function roomIn(stretches: readonly Stretch[], s: number, lengthsUm: readonly LengthUm[]): LengthUm {
  let beginUm = 0
  for (let i = 0; i < s; i++) beginUm = Math.max(stretches[i]!.fromUm, beginUm) + lengthsUm[i]!
  beginUm = Math.max(stretches[s]!.fromUm, beginUm)
  let latestUm = Number.POSITIVE_INFINITY
  for (let i = stretches.length - 1; i > s; i--)
    latestUm = Math.min(latestUm, stretches[i]!.toUm) - lengthsUm[i]!
  return Math.min(latestUm, stretches[s]!.toUm) - beginUm - lengthsUm[s]!
}
