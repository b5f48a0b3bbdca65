/** A stream of numbers between 0 and 1 from a seed (xorshift32), so that a failing case can be run again. */
export function randomFrom(seed: number): () => number {
  let state = seed * 2_654_435_761 || 1
  return () => {
    state ^= state << 13
    state ^= state >>> 17
    state ^= state << 5
    return (state >>> 0) / 4_294_967_296
  }
}
