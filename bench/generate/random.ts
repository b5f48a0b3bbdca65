/** Repeatable chance: the same seed gives the same works on every machine. */
export interface Random {
  /** From 0 up to, not including, 1. */
  next(): number
  /** A whole number from `low` to `high`, both possible. */
  whole(low: number, high: number): number
  /** A decimal with `digits` places. */
  decimal(low: number, high: number, digits: number): number
  chance(share: number): boolean
  pick<T>(list: readonly T[]): T
  shuffled<T>(list: readonly T[]): T[]
}

/**
 * A counter that steps by the golden ratio of 2³², each value mixed by two xor-shift-multiply rounds: the shape of
 * Steele, Lea and Flood, "Fast splittable pseudorandom number generators" (2014), in 32 bits. Good enough for
 * invented works, not for anything secret.
 */
export function seededRandom(seed: number): Random {
  let counter = seed >>> 0
  const next = () => {
    counter = (counter + 0x9e3779b9) >>> 0
    let mixed = counter
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x7feb352d)
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x846ca68b)
    return ((mixed ^ (mixed >>> 16)) >>> 0) / 4294967296
  }
  const whole = (low: number, high: number) => low + Math.floor(next() * (high - low + 1))
  return {
    next,
    whole,
    decimal: (low, high, digits) => Number((low + next() * (high - low)).toFixed(digits)),
    chance: (share) => next() < share,
    pick: (list) => list[whole(0, list.length - 1)]!,
    shuffled: (list) => {
      const copy = [...list]
      for (let i = copy.length - 1; i > 0; i--) {
        const j = whole(0, i)
        ;[copy[i], copy[j]] = [copy[j]!, copy[i]!]
      }
      return copy
    },
  }
}
