/** First and last sample of each run of samples for which the test holds; runs that are at most `bridge` samples apart are one. */
export function stretches(
  count: number,
  test: (i: number) => boolean,
  bridge = 0,
): { from: number; to: number; hits: number }[] {
  const found: { from: number; to: number; hits: number }[] = []
  for (let i = 0; i < count; i++) {
    if (!test(i)) continue
    const last = found.at(-1)
    if (last && i - last.to <= bridge + 1) {
      last.to = i
      last.hits++
    } else found.push({ from: i, to: i, hits: 1 })
  }
  return found
}

/** Means of blocks of samples for which the test holds, beside the mean of where they stand. */
export function blockMeans(
  count: number,
  blockSamples: number,
  test: (i: number) => boolean,
  where: (i: number) => number,
  value: (i: number) => number,
): { x: number[]; y: number[] } {
  const x: number[] = []
  const y: number[] = []
  let [n, sumX, sumY] = [0, 0, 0]
  for (let i = 0; i < count; i++) {
    if (!test(i)) continue
    n++
    sumX += where(i)
    sumY += value(i)
    if (n < blockSamples) continue
    x.push(sumX / n)
    y.push(sumY / n)
    ;[n, sumX, sumY] = [0, 0, 0]
  }
  return { x, y }
}
