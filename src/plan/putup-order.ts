/** The put-ups wanted in one stretch, and the put-up that a rest is wound off to at its inner end. */
export interface StretchPutups {
  groups: number[]
  after: number | null
}

/**
 * Orders the put-ups within each stretch of a drum, outermost first, so that as few changes as possible are needed
 * along the whole drum; among equals the more urgent come first. A wind-off books its own minutes, so only the change
 * from it to the next piece counts. `before` is the put-up that the mounting stands on already. Exact: a shortest path over (stretch, last put-up).
 */
export function orderPutups(
  stretches: StretchPutups[],
  dueOf: (group: number) => string,
  before: number | null = null,
): { sequences: number[][]; changes: number } {
  if (stretches.length === 1) return inOneStretch(stretches[0]!.groups, dueOf, before)
  type State = { last: number | null; changes: number; sequences: number[][] }
  let states: State[] = [{ last: before, changes: 0, sequences: [] }]
  for (const stretch of stretches) {
    const groups = byUrgency(stretch.groups, dueOf)
    const next = new Map<number | null, State>()
    for (const state of states)
      for (const sequence of sequencesOf(groups, state.last)) {
        const first = sequence[0]
        const cost =
          first === undefined
            ? 0
            : sequence.length - 1 + (state.last !== null && state.last !== first ? 1 : 0)
        const end = stretch.after ?? sequence[sequence.length - 1] ?? state.last
        const changes = state.changes + cost
        const found = next.get(end)
        if (!found || changes < found.changes)
          next.set(end, { last: end, changes, sequences: [...state.sequences, sequence] })
      }
    states = [...next.values()]
  }
  const best = states.reduce((a, b) => (b.changes < a.changes ? b : a))
  return { sequences: best.sequences, changes: best.changes }
}

/** Most drums have one stretch, and then there is nothing to choose but whether to go on with the put-up before. */
function inOneStretch(
  groups: number[],
  dueOf: (group: number) => string,
  before: number | null,
): { sequences: number[][]; changes: number } {
  const sequence = byUrgency(groups, dueOf)
  const changes = Math.max(0, sequence.length - 1)
  if (before === null || sequence.length === 0) return { sequences: [sequence], changes }
  if (!sequence.includes(before)) return { sequences: [sequence], changes: changes + 1 }
  return { sequences: [[before, ...sequence.filter((g) => g !== before)]], changes }
}

function byUrgency(groups: number[], dueOf: (group: number) => string): number[] {
  return groups.length < 2 ? groups : [...groups].sort((a, b) => dueOf(a).localeCompare(dueOf(b)) || a - b)
}

/** For each put-up that could stand last: the given order with it moved last, and the one that continues `last` moved first. */
function sequencesOf(groups: number[], last: number | null): number[][] {
  if (groups.length <= 1) return [groups]
  // the least urgent stands last where that costs no more, so it is tried first
  return [...groups].reverse().map((end) => {
    const others = groups.filter((g) => g !== end)
    const first = last !== null && others.includes(last) ? [last] : []
    return [...first, ...others.filter((g) => !first.includes(g)), end]
  })
}
