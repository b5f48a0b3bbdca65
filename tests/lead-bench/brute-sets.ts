/** The most disjoint sets and the least sum of widths among as many, by trying every choice. */
export function triedSets(
  points: number[][],
  size: number,
  windows: number[],
): { most: number; widest: number; sum: number } {
  let best = { most: 0, widest: 0, sum: 0 }
  const better = (most: number, widest: number, sum: number) =>
    most !== best.most
      ? most > best.most
      : Math.abs(widest - best.widest) > 1e-9
        ? widest < best.widest
        : sum < best.sum
  const go = (left: number[], most: number, widest: number, sum: number) => {
    if (better(most, widest, sum)) best = { most, widest, sum }
    const [first, ...rest] = left
    if (first === undefined || left.length < size) return
    go(rest, most, widest, sum)
    for (const others of choices(rest, size - 1)) {
      const set = [first, ...others]
      const widths = windows.map((_, d) => {
        const values = set.map((i) => points[i]![d]!)
        return Math.max(...values) - Math.min(...values)
      })
      if (widths.some((width, d) => width > windows[d]! + 1e-6)) continue
      go(
        rest.filter((i) => !others.includes(i)),
        most + 1,
        Math.max(widest, widths[0]!),
        sum + widths[0]!,
      )
    }
  }
  go(
    points.map((_, i) => i),
    0,
    0,
    0,
  )
  return best
}

function choices(from: number[], count: number): number[][] {
  if (count === 0) return [[]]
  return from.flatMap((first, i) => choices(from.slice(i + 1), count - 1).map((rest) => [first, ...rest]))
}
