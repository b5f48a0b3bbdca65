import { commonDivisor } from './common-divisor.ts'
import type { StockKind } from './stock-kinds.ts'

/** A count of each of these kinds in one whole number: a field of bits for each. */
export interface CountedKinds {
  /** Indices of the kinds, the shortest first. */
  kinds: number[]
  /** Place of the field of each. */
  shifts: number[]
  /** Number to begin sums with: a count above what is wanted carries into the bit above its field. */
  start: number
  /** The bits above the fields. */
  carries: number
  /** A sum that began with `start` and holds just what is wanted. */
  full: number
}

/** Bits of a whole number that sums may use; one more is for the carry, and the sign is left alone. */
const MOST_BITS = 30

/**
 * Kinds worth counting: lengths with a large common divisor replace one another freely, and a price is as good as a count for them; the
 * others decide how closely a stretch can be filled. The divisor is no less than a leftover that is still scrap, so that multiples of it
 * alone cannot fill to the end, and the one that leaves fewest counts. The shortest are counted first, for as long as all counts
 * together have no more than so many values.
 */
export function countedKinds(
  kinds: readonly StockKind[],
  scrapBelow: number,
  mostCounts: number,
): CountedKinds {
  const divisors = new Set<number>()
  for (const a of kinds)
    for (const b of kinds) {
      const divisor = commonDivisor(a.length, b.length)
      if (divisor >= scrapBelow) divisors.add(divisor)
    }
  let odd = Array.from(kinds.keys())
  for (const divisor of divisors) {
    const other = Array.from(kinds.keys()).filter((i) => kinds[i]!.length % divisor !== 0)
    if (countsOf(kinds, other) < countsOf(kinds, odd)) odd = other
  }
  const chosen: number[] = []
  for (const i of odd.sort((a, b) => kinds[a]!.length - kinds[b]!.length)) {
    const more = [...chosen, i]
    if (countsOf(kinds, more) <= mostCounts && bitsOf(kinds, more) <= MOST_BITS) chosen.push(i)
  }
  return packed(kinds, chosen)
}

/** Bits of the field of a kind. */
export function countBits(kind: StockKind): number {
  return Math.ceil(Math.log2(kind.demand + 1))
}

function countsOf(kinds: readonly StockKind[], chosen: readonly number[]): number {
  return chosen.reduce((counts, i) => counts * (kinds[i]!.demand + 1), 1)
}

function bitsOf(kinds: readonly StockKind[], chosen: readonly number[]): number {
  return chosen.reduce((sum, i) => sum + countBits(kinds[i]!), 0)
}

function packed(kinds: readonly StockKind[], chosen: number[]): CountedKinds {
  const shifts: number[] = []
  let at = 0
  let start = 0
  let carries = 0
  for (const i of chosen) {
    shifts.push(at)
    start |= ((1 << countBits(kinds[i]!)) - 1 - kinds[i]!.demand) << at
    at += countBits(kinds[i]!)
    carries |= 1 << at
  }
  return { kinds: chosen, shifts, start, carries, full: 2 ** at - 1 }
}
