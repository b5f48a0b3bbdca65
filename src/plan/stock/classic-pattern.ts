/** A way to cut one bar, in the form that a master problem takes: which pieces, how many of each. */
export interface Pattern {
  bar: number
  rows: number[]
  counts: number[]
  cost: number
}

export function patternOf(bar: number, cost: number, counts: ArrayLike<number>): Pattern {
  const rows: number[] = []
  const some: number[] = []
  for (let i = 0; i < counts.length; i++)
    if (counts[i]! > 0) {
      rows.push(i)
      some.push(counts[i]!)
    }
  return { bar, rows, counts: some, cost }
}

export const patternKey = (pattern: Pattern) =>
  `${pattern.bar}:${pattern.rows.join(',')}:${pattern.counts.join(',')}`
