/** So many copies in chunks of 1, 2, 4 …, the last the rest: every number up to that is a sum of some of them. */
export function chunks(count: number): number[] {
  const copies: number[] = []
  for (let chunk = 1, left = count; left > 0; chunk *= 2) {
    copies.push(Math.min(chunk, left))
    left -= chunk
  }
  return copies
}
