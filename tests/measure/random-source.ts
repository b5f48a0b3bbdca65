/** Repeatable random numbers for simulations: a 32-bit mixing generator, and normal ones after Box and Muller. */
export function randomSource(seed: number): { uniform: () => number; normal: () => number } {
  let state = Math.imul(seed, 0x9e3779b1) | 0
  const uniform = () => {
    state = (state + 0x6d2b79f5) | 0
    let x = Math.imul(state ^ (state >>> 15), 1 | state)
    x = (x + Math.imul(x ^ (x >>> 7), 61 | x)) ^ x
    return (((x ^ (x >>> 14)) >>> 0) + 0.5) / 4_294_967_296
  }
  const normal = () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform())
  return { uniform, normal }
}
