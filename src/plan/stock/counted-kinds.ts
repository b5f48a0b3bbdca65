import { commonDivisor } from './common-divisor.ts'
import type { StockKind } from './stock-kinds.ts'

/** A count of each of these kinds in one whole number: a field of bits for each, from the lowest bit on. */
export interface CountedKinds {
  /** Indices of the kinds, those first that matter most. */
  kinds: number[]
  /** Place of the field of each; one more for the end. */
  shifts: number[]
  /** Number to begin sums with: a count above what is wanted carries into the bit above its field. */
  start: number
  /** A sum that began with `start` and holds just what is wanted: all bits. */
  full: number
  /** The bits above the fields. */
  carries: number
}

/** Bits of a whole number that sums may use; one more is for the carry, and the sign is left alone. */
const MOST_BITS = 30

/**
 * Kinds worth counting: lengths with a large common divisor replace one another freely, and a price is as good as a count for them; the
 * others decide how closely a stretch can be filled. The divisor is no less than a leftover that is still scrap, so that multiples of it
 * alone cannot fill to the end, and the one that leaves fewest counts. The shortest matter most, for they are cut last.
 */
export function countedKinds(kinds: readonly StockKind[], scrapBelow: number): CountedKinds {
  const divisors = new Set<number>()
  for (const a of kinds) for (const b of kinds) divisors.add(commonDivisor(a.length, b.length))
  let odd = Array.from(kinds.keys())
  for (const divisor of divisors) {
    const other = Array.from(kinds.keys()).filter((i) => kinds[i]!.length % divisor !== 0)
    if (divisor >= scrapBelow && valuesOf(kinds, other) < valuesOf(kinds, odd)) odd = other
  }
  const counted: CountedKinds = { kinds: [], shifts: [0], start: 0, full: 0, carries: 0 }
  for (const i of odd.sort((a, b) => kinds[a]!.length - kinds[b]!.length)) {
    const at = counted.shifts.at(-1)!
    const end = at + countBits(kinds[i]!)
    if (end > MOST_BITS) continue
    counted.kinds.push(i)
    counted.shifts.push(end)
    counted.start |= ((1 << (end - at)) - 1 - kinds[i]!.demand) << at
    counted.carries |= 1 << end
    counted.full = (1 << end) - 1
  }
  return counted
}

/** Bits of the field of a kind. */
export function countBits(kind: StockKind): number {
  return Math.ceil(Math.log2(kind.demand + 1))
}

/** How many values the counts of these kinds have together. */
export function valuesOf(kinds: readonly StockKind[], counted: readonly number[]): number {
  return counted.reduce((values, i) => values * (kinds[i]!.demand + 1), 1)
}
