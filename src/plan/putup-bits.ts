/** Put-ups of one cable type as a set in one word: the bit of each is its number. */
export const MOST_PUTUPS = 30

export function bit(putup: number): number {
  return 1 << putup
}

export function has(set: number, putup: number): boolean {
  return ((set >> putup) & 1) === 1
}

export function bitsFor(putups: Iterable<number>): number {
  let set = 0
  for (const putup of putups) set |= bit(putup)
  return set
}

export function putupsIn(set: number): number[] {
  const putups: number[] = []
  for (let p = 0; set >> p; p++) if (has(set, p)) putups.push(p)
  return putups
}
