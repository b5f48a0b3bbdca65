/** A stream of numbers in [0, 1) from a seed: the 32-bit xorshift of Marsaglia (2003), enough to vary a search and replayable. */
export type Random = () => number

export function seededRandom(seed: number): Random {
  // a xorshift state must not be 0; the multiplier spreads neighbouring seeds
  let state = Math.imul(seed + 1, 0x9e3779b1) | 0 || 1
  return () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 0) / 4_294_967_296
  }
}
