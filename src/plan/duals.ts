/** What the rows of the master program are worth, whole micro-euro. */
export interface Duals {
  /** By item, a piece; none is negative. */
  items: Float64Array
  /** By `item:lot` of a lot group: what a piece loses where the group would have to be bound to that lot. */
  lots: Map<string, number>
  /** By `drum:line`: share of a line's fixed cost that a drum on it bears. */
  lines: Map<string, number>
  /** By key of a count that branching limits: what one more is worth; negative where it is held below a limit. */
  counts: Map<string, number>
  /** What a micro-euro more left unserved would save. */
  service: number
}

/** Prices between two sets of prices: `share` of the first; whole micro-euro. */
export function mixed(a: Duals, b: Duals, share: number): Duals {
  const mix = (x: number, y: number) => Math.round(share * x + (1 - share) * y)
  const mixMap = (x: Map<string, number>, y: Map<string, number>) =>
    new Map([...y].map(([key, value]) => [key, mix(x.get(key) ?? 0, value)]))
  return {
    items: a.items.map((value, i) => mix(value, b.items[i]!)),
    lots: mixMap(a.lots, b.lots),
    lines: mixMap(a.lines, b.lines),
    counts: mixMap(a.counts, b.counts),
    service: share * a.service + (1 - share) * b.service,
  }
}
